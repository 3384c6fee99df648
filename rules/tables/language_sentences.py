"""What a message in another language is answered, in that language."""

from __future__ import annotations

from typing import Final

ONLY_ENGLISH: Final[dict[str, str]] = {
    "chat.only-english.de": (
        "Ich verstehe hier nur Englisch (°C oder °F, metrische oder US-Maße); Wörter der "
        "Gefahr wie Feuer, Rauch, Gas und Unwohlsein erkenne ich auch auf Deutsch."
    ),
    "chat.only-english.es": (
        "Aquí solo entiendo inglés (°C o °F, medidas métricas o de EE. UU.); las palabras "
        "de peligro como fuego, humo, gas y malestar las reconozco también en español."
    ),
    "chat.only-english.fr": (
        "Ici je ne comprends que l'anglais (°C ou °F, mesures métriques ou américaines) ; "
        "les mots de danger comme feu, fumée, gaz et malaise, je les reconnais aussi en "
        "français."
    ),
    "chat.only-english.it": (
        "Qui capisco solo l'inglese (°C o °F, misure metriche o americane); le parole di "
        "pericolo come fuoco, fumo, gas e malore le riconosco anche in italiano."
    ),
    "chat.only-english.pt": (
        "Aqui só entendo inglês (°C ou °F, medidas métricas ou dos EUA); palavras de "
        "perigo como fogo, fumaça, gás e mal-estar reconheço também em português."
    ),
    "chat.only-english.nl": (
        "Hier versta ik alleen Engels (°C of °F, metrische of Amerikaanse maten); woorden "
        "van gevaar zoals brand, rook, gas en onwel herken ik ook in het Nederlands."
    ),
    "chat.only-english.pl": (
        "Rozumiem tu tylko angielski (°C lub °F, miary metryczne lub amerykańskie); słowa "
        "zagrożenia, jak ogień, dym, gaz i złe samopoczucie, rozpoznaję też po polsku."
    ),
}
