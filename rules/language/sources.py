"""The works the rules lean on. One record each; `how_known` says whether we read it ourselves."""

from __future__ import annotations

from rules.language.model import HowKnown, Source, SourceKind

COMMON_PRACTICE = Source(SourceKind.COMMON_PRACTICE, "common practice, no source", HowKnown.NO_SOURCE)
HEAT_BALANCE = Source(
    SourceKind.PHYSICS, "first law of thermodynamics: heat made = lost + drawn + stored", HowKnown.DERIVED
)
MOIST_AIR = Source(
    SourceKind.PHYSICS,
    "ASHRAE Handbook - Fundamentals (2017), ch. 1, moist-air properties",
    HowKnown.READ_SECOND_HAND,
)
ON_FARM_HANDBOOK = Source(
    SourceKind.HANDBOOK, "On-Farm Composting Handbook, Rynk ed., NRAES-54, 1992, ch. 2", HowKnown.FROM_MEMORY
)
HAUG = Source(SourceKind.HANDBOOK, "Haug, Practical Handbook of Compost Engineering, 1993", HowKnown.FROM_MEMORY)
MANITOBA = Source(
    SourceKind.HANDBOOK,
    "Manitoba Agriculture, Compost Elements",
    HowKnown.READ,
    "gov.mb.ca/agriculture/environment/mortality-management/print,compost-elements.html",
)
NEW_BRUNSWICK = Source(
    SourceKind.HANDBOOK,
    "New Brunswick, Basics of On-Farm Composting (adapts NRAES-54)",
    HowKnown.READ_SECOND_HAND,
)
CORNELL_MIX = Source(
    SourceKind.HANDBOOK,
    "Richard and Trautmann, Getting the Right Mix, Cornell Waste Management Institute, 1996",
    HowKnown.READ,
    "compost.css.cornell.edu/calc/rightmix.html",
)
CORNELL_CN = Source(
    SourceKind.HANDBOOK,
    "Richard and Trautmann, C/N Ratio, Cornell Waste Management Institute",
    HowKnown.READ,
    "compost.css.cornell.edu/calc/cn_ratio.html",
)
CORNELL_CHEMISTRY = Source(SourceKind.HANDBOOK, "Compost Chemistry, Cornell Waste Management Institute", HowKnown.READ)
CORNELL_PHYSICS = Source(
    SourceKind.HANDBOOK,
    "Compost Physics, Cornell Waste Management Institute",
    HowKnown.READ,
    "css.cornell.edu/cwmi/compost/physics.html",
)
CORNELL_POROSITY = Source(
    SourceKind.HANDBOOK,
    "Richard, Inadequate Porosity, Cornell Waste Management Institute",
    HowKnown.READ,
    "compost.css.cornell.edu/odors/inadeq.porosity.html",
)
WSU_AVAILABLE_CARBON = Source(
    SourceKind.HANDBOOK,
    "WSU Whatcom County Extension, Compost Fundamentals: C:N by available carbon",
    HowKnown.READ,
    "whatcom.wsu.edu/ag/compost/fundamentals/consideration_reclamation.htm",
)
NRCS_OPERATION = Source(
    SourceKind.HANDBOOK, "NRCS-style composting operation and maintenance sheet", HowKnown.READ_SECOND_HAND
)
SURREY_FIRE = Source(
    SourceKind.HANDBOOK,
    "Surrey Fire and Rescue, Fire safety management of compost piles",
    HowKnown.READ,
    "surreycc.gov.uk",
)
BUGGELN_FIRE = Source(
    SourceKind.HANDBOOK, "Buggeln, University of Tennessee, 2008: fires in piles", HowKnown.READ_SECOND_HAND
)
BUGGELN_RYNK = Source(
    SourceKind.PAPER,
    "Buggeln and Rynk, Self-heating in yard trimmings, Compost Science and Utilization, 2002",
    HowKnown.FROM_MEMORY,
)
EUGENE_FIRE = Source(SourceKind.HANDBOOK, "City of Eugene, compost pile fires, FAQ 211", HowKnown.READ, "eugene-or.gov")
CFR_257 = Source(
    SourceKind.REGULATION,
    "40 CFR 257 Appendix II, processes to reduce pathogens",
    HowKnown.READ,
    "ecfr.io/Title-40/Part-257",
)
NOP_COMPOST = Source(SourceKind.REGULATION, "7 CFR 205.203(c)(2), compost", HowKnown.READ_SECOND_HAND)
EPA_STATIC = Source(
    SourceKind.HANDBOOK,
    "US EPA, Biosolids Technology Fact Sheet: Use of Composting",
    HowKnown.READ,
    "nepis.epa.gov P10053DF",
)
CONFINED_SPACE = Source(
    SourceKind.REGULATION, "29 CFR 1910.146, permit-required confined spaces", HowKnown.READ_SECOND_HAND
)
EXPOSURE_LIMITS = Source(
    SourceKind.REGULATION, "NIOSH and OSHA exposure limits for CO2, CO and NH3", HowKnown.READ_SECOND_HAND
)
NIOSH_H2S = Source(SourceKind.REGULATION, "NIOSH Pocket Guide: hydrogen sulfide", HowKnown.FROM_MEMORY)
IOWA_CONFINED = Source(SourceKind.HANDBOOK, "Iowa State University EHS, Confined Spaces, p. 25", HowKnown.READ)
PEARSON_BIOAEROSOLS = Source(
    SourceKind.PAPER,
    "Pearson et al., Exposures and health outcomes in relation to bioaerosols from composting, 2015",
    HowKnown.READ,
    "PMC4409048",
)
CO_FROM_COMPOST = Source(
    SourceKind.PAPER, "PLOS ONE 2023, carbon monoxide from composting, 10.1371/journal.pone.0290206", HowKnown.READ
)
WHO_LEGIONELLA = Source(SourceKind.HANDBOOK, "World Health Organization, Legionella", HowKnown.READ_SECOND_HAND)
ASHRAE_LEGIONELLA = Source(SourceKind.STANDARD, "ASHRAE Guideline 12-2000", HowKnown.READ_SECOND_HAND)
SCALD_STUDY = Source(
    SourceKind.PAPER, "Moritz and Henriques, American Journal of Pathology 23:695, 1947", HowKnown.READ_SECOND_HAND
)
NFPA_70 = Source(SourceKind.STANDARD, "NFPA 70, National Electrical Code, 210.8 and Article 547", HowKnown.FROM_MEMORY)
AMMONIA_EQUILIBRIUM = Source(
    SourceKind.PAPER, "Emerson et al., Aqueous ammonia equilibrium calculations, 1975", HowKnown.FROM_MEMORY
)
URINE_STUDY = Source(
    SourceKind.PAPER,
    "Kirchmann and Pettersson, Human urine, Fertilizer Research 40:149-154, 1995",
    HowKnown.READ,
    "link.springer.com/article/10.1007/BF00750100",
)
FROZEN_CHIP_PILE = Source(
    SourceKind.PAPER, "Sampson and McBeath, Temperature changes in an initially frozen wood chip pile", HowKnown.READ
)
CHIP_STORAGE = Source(
    SourceKind.PAPER, "Jirjis, chip piles in storage, 2001, and Energies 2022, 15(19):7094", HowKnown.READ
)
HEAT_RECOVERY_REVIEW = Source(
    SourceKind.PAPER, "Smith, Aber and Rynk, heat recovery from composting, 2015 conference version", HowKnown.READ
)
STATIC_PRUNINGS_PILE = Source(
    SourceKind.PAPER,
    "Malesani, Pivato, Lavagnolo and Schievano, heat from a static pile of prunings, 2021",
    HowKnown.READ,
    "research.unipd.it/handle/11577/3410758",
)
THERMAL_PROPERTIES = Source(
    SourceKind.PAPER,
    "Ahn, Sauer, Richard and Glanville, Bioresource Technology 100:3974-3981, 2009",
    HowKnown.READ,
    "lib.dr.iastate.edu/abe_eng_pubs/257",
)
GREENHOUSE_GLAZING = Source(SourceKind.HANDBOOK, "Sanford, Glazing Materials, eXtension", HowKnown.READ)
EP406 = Source(
    SourceKind.STANDARD, "ANSI/ASAE EP406.4, Heating, Ventilating and Cooling Greenhouses", HowKnown.FROM_MEMORY
)
WIND_AT_SKIN = Source(
    SourceKind.STANDARD, "ISO 6946, surface resistance: the film coefficient rises with wind", HowKnown.FROM_MEMORY
)
FILM_AND_AIR = Source(
    SourceKind.PHYSICS, "film cuts heat loss and draught alike; which counts for more is not known", HowKnown.DERIVED
)
SNOW_INSULATES = Source(
    SourceKind.PAPER, "Sturm et al., The thermal conductivity of seasonal snow, 1997", HowKnown.FROM_MEMORY
)
PROBE_DEPTH = Source(
    SourceKind.PHYSICS,
    "heat flows from hot to cold: a heap is hottest deep inside, least so at its skin",
    HowKnown.DERIVED,
)
NOP_RAW_MANURE = Source(
    SourceKind.REGULATION, "7 CFR 205.203(c)(1), raw manure: 120 or 90 days to harvest", HowKnown.FROM_MEMORY
)
COPPER_AND_AMMONIA = Source(
    SourceKind.STANDARD, "ASTM B858, ammonia vapor test for cracking in copper alloys", HowKnown.FROM_MEMORY
)
SEALED_HEATING = Source(
    SourceKind.STANDARD, "EN 12828, water-based heating: safety valve and expansion vessel", HowKnown.FROM_MEMORY
)
PLASTIC_PIPE = Source(
    SourceKind.STANDARD, "ISO 4427-1, polyethylene pipe: less pressure allowed when warm", HowKnown.FROM_MEMORY
)

CDC_RODENTS = Source(
    SourceKind.HANDBOOK,
    "US CDC, cleaning up after rodents: hantavirus and leptospirosis",
    HowKnown.FROM_MEMORY,
)
CDC_CO = Source(SourceKind.HANDBOOK, "US CDC, carbon monoxide poisoning: signs and first steps", HowKnown.FROM_MEMORY)
PUBLIC_LAB_SHRINK = Source(
    SourceKind.PAPER, "Public Lab research note 13197, 2016: a heap sinks to four fifths in a week", HowKnown.READ
)
BUBBLE_WRAP = Source(
    SourceKind.HANDBOOK,
    "Royal Horticultural Society, greenhouse heating: insulating with bubble polythene",
    HowKnown.FROM_MEMORY,
)
