"use strict";
// The page works without this. With it: a draft is kept, readings wait out a lost connection, and it can be installed.
(() => {
  const DRAFT = "warmheap.draft", READINGS = "warmheap.readings", ANSWERS = "warmheap.answers";
  const MOST_READINGS = 200, MOST_ANSWERS = 100, DAY = 864e5, OLD_READING = 18e5, SAME_READING = 6e5, HISTORY_DAYS = 30;
  const main = document.querySelector("main");
  const form = document.querySelector("form");
  const note = document.getElementById("note");

  const load = (key, other) => {
    try { return JSON.parse(localStorage.getItem(key)) ?? other; } catch { return other; }
  };
  const save = (key, value) => {
    try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; }
  };
  const say = (text, button, act) => {
    const line = document.createElement("p");
    line.textContent = text;
    if (button) {
      const tap = document.createElement("button");
      tap.type = "button"; tap.className = "quiet"; tap.textContent = button;
      tap.onclick = () => { line.remove(); act(); };
      line.append(tap);
    }
    note.replaceChildren(line);
  };
  const day = (at) => new Date(at).toLocaleString("en-GB", {day: "numeric", month: "short", hour: "2-digit", minute: "2-digit"});
  const waiting = () => load(READINGS, []).filter((each) => !each.used).length;
  const count = (many) => many === 1 ? "1 reading waits" : many + " readings wait";

  // ---- an answer came: what waited was used, and it is noted so that it can be read again without a connection
  if (main.dataset.page === "answer") {
    save(READINGS, load(READINGS, []).map((each) => ({...each, used: true})));
    const draft = load(DRAFT, null);
    if (draft) save(DRAFT, {...draft, answered: true, builtOn: main.dataset.builtOn});
    const url = location.pathname + location.search;
    const said = {url, at: main.dataset.at, text: document.querySelector("h1").textContent};
    if (location.search) save(ANSWERS, [...load(ANSWERS, []).filter((each) => each.url !== url), said].slice(-MOST_ANSWERS));
  }

  // ---- the draft
  const core = document.getElementById("temperatures.core");
  let coreAt = null;
  const fieldOf = (name) => [...form.elements].find((each) => each.name === name && each.type !== "hidden");
  const isUnitOfNone = (name) => name.endsWith(".unit") && !fieldOf(name.slice(0, -5))?.value;
  const typed = () => [...new FormData(form)].filter(([name, value]) => value && fieldOf(name) && !isUnitOfNone(name));
  const lasting = () => ["units", ...[...form.querySelectorAll("[data-lasting] [name]")].map((each) => each.name)];
  const keepDraft = () => save(DRAFT, {at: Date.now(), coreAt, values: typed(), lasting: lasting()});
  const badge = (details) => {
    if (!details || details.querySelector(".has")) return;
    const has = document.createElement("span");
    has.className = "has"; has.textContent = "filled in";
    details.querySelector("summary").append(has);
  };
  // Going back to the form brings all of it back; coming anew, only what is the same next time, and the age of today.
  const valuesOf = (draft) => {
    const [way] = performance.getEntriesByType("navigation");
    if (!draft.answered || way?.type === "back_forward") return draft.values;
    const ofAge = ["pile.age", "pile.age.unit", "pile.built_on"];
    const age = Math.floor((Date.now() - Date.parse(draft.builtOn)) / DAY);
    return [...draft.values.filter(([name]) => draft.lasting.includes(name) && !ofAge.includes(name)),
      ...(age >= 0 ? [["pile.age", String(age)], ["pile.age.unit", "days"]] : [])];
  };
  const bringBack = () => {
    const draft = load(DRAFT, null), values = draft ? valuesOf(draft) : [];
    if (!values.length) return;
    coreAt = values === draft.values ? draft.coreAt : null;
    for (const [name, value] of values) {
      for (const field of [...form.elements].filter((each) => each.name === name)) {
        if (field.type === "radio" || field.type === "checkbox") {
          if (field.value === value) field.checked = true;
        } else field.value = value;
        const part = field.closest("details");
        if (part?.id === "built") part.open = true;
        else if (!name.endsWith(".unit")) badge(part);
      }
    }
    say("What you typed on " + day(draft.at) + " is back.", "Start empty", () => {
      localStorage.removeItem(DRAFT);
      location.assign("/form");
    });
  };

  const isUs = () => form.elements.units.value === "us";

  // ---- the unit of the first number is that of all whose unit nobody chose
  const unitOf = (field) => field.parentElement.querySelector("select");
  const follow = () => form.querySelectorAll("[data-us]").forEach((each) => {
    const number = each.parentElement.querySelector("input");
    if (!number.value.trim()) each.value = isUs() ? each.dataset.us : each.dataset.metric;
  });

  // ---- the other scale, or the days, beside what is typed
  const NUMBER = /^\s*([-+\u2212]?)(\d+(?:[.,]\d*)?|[.,]\d+)\s*(.*)$/;
  const DAYS = {d: 1, w: 7, m: 30.44, y: 365.25, h: 1 / 24};
  const inDays = (number, unit) => {
    const days = number * (DAYS[unit[0]] ?? NaN);
    const shown = Math.round(days * 10) / 10;
    return Number.isNaN(days) || /^mi/.test(unit) ? "" : unit[0] !== "d" ? "= " + shown + (shown === 1 ? " day" : " days")
      : days >= 14 ? "= " + Math.floor(days / 7) + " weeks" + (days % 7 ? " and " + Math.round(days % 7) + " days" : "") : "";
  };
  const inOther = (number, unit) => {
    const here = /^-?(?:\u00b0|\u00ba|deg)?\s*([cf])/i.exec(unit)?.[1].toUpperCase();
    if (!here) return "";
    const other = here === "F" ? (number - 32) / 1.8 : number * 1.8 + 32;
    return "= " + Math.round(other * 10) / 10 + " \u00b0" + (here === "F" ? "C" : "F");
  };
  const echo = (field) => {
    const said = NUMBER.exec(field.value), place = document.getElementById(field.id + "-echo"), box = unitOf(field);
    if (!said) { place.textContent = ""; return; }
    const typed = said[3].trim().toLowerCase(), chosen = box.name === "units" ? (isUs() ? "F" : "C") : box.value;
    const below = said[1] === "-" || said[1] === "\u2212" || (!typed && chosen[0] === "-");
    const number = Number(said[2].replace(",", ".")) * (below ? -1 : 1);
    const tells = field.dataset.echo === "age" || field.dataset.echo === "ago" ? inDays : inOther;
    place.textContent = tells(number, typed.replace(/ ?ago$/, "") || chosen);
  };

  // ---- readings kept on this phone
  const kept = document.getElementById("kept");
  const showReadings = () => {
    const readings = load(READINGS, []);
    kept.hidden = !readings.length;
    kept.querySelector("ul").replaceChildren(...readings.map((each) => {
      const line = document.createElement("li"), text = document.createElement("span");
      const drop = document.createElement("button");
      text.textContent = day(each.at) + ": " + withUnit(each, " \u00b0") + (each.used ? "" : " (waiting)");
      drop.type = "button"; drop.className = "quiet"; drop.textContent = "Remove";
      drop.setAttribute("aria-label", "Remove the reading of " + day(each.at));
      drop.onclick = () => {
        save(READINGS, load(READINGS, []).filter((other) => other.at !== each.at));
        showReadings();
        kept.hidden ? core.focus() : kept.querySelector("button").focus();
      };
      line.append(text, drop);
      return line;
    }));
  };
  const keepReading = () => {
    const value = core.value.trim();
    if (!value) return;
    const at = coreAt ?? Date.now();
    const others = load(READINGS, []).filter((each) => Math.abs(each.at - at) > SAME_READING);
    const readings = [...others, {at, core: value, us: isUs(), used: false}].sort((a, b) => a.at - b.at);
    save(READINGS, readings.slice(-MOST_READINGS));
  };
  const bare = (text) => !/[a-z\u00b0]/i.test(text);
  const withUnit = (each, mark) => bare(each.core) ? each.core + mark + (each.us ? "F" : "C") : each.core;
  const hidden = (name, value) => {
    const field = document.createElement("input");
    field.type = "hidden"; field.name = name; field.value = value;
    form.append(field);
  };
  const local = (at) => {
    const east = -new Date(at).getTimezoneOffset(), two = (number) => String(Math.floor(Math.abs(number))).padStart(2, "0");
    return new Date(at + east * 6e4).toISOString().slice(0, 19) + (east < 0 ? "-" : "+") + two(east / 60) + ":" + two(east % 60);
  };
  const addReadings = () => {
    form.querySelectorAll("[type=hidden]").forEach((each) => each.remove());
    const now = Date.now(), at = coreAt ?? now;
    hidden("as_of", local(now));
    if (core.value.trim() && now - at > OLD_READING) hidden("read_at", local(at));
    const newest = core.value.trim() ? at - SAME_READING : now;
    for (const each of load(READINGS, [])) {
      if (each.at <= newest && now - each.at < HISTORY_DAYS * DAY) {
        hidden("earlier", local(each.at) + " " + (each.us === isUs() ? each.core : withUnit(each, " deg")));
      }
    }
  };
  const offline = () => say(
    "No connection. What you type stays on this phone, and " + count(waiting()) + ". Send the form when you are back in reach.");

  // ---- advice that can be read again
  const answers = document.getElementById("answers");
  const showAnswers = () => {
    const said = load(ANSWERS, []).reverse();
    answers.hidden = !said.length;
    answers.querySelector("ul").replaceChildren(...said.map((each) => {
      const line = document.createElement("li"), link = document.createElement("a");
      link.href = each.url; link.textContent = day(each.at) + ": " + each.text;
      line.append(link);
      return line;
    }));
  };

  if (main.dataset.page === "form") {
    const blank = location.search === "?blank";
    if ("fresh" in main.dataset && !blank) { bringBack(); follow(); }
    if ("refused" in main.dataset) {
      save(READINGS, load(READINGS, []).filter((each, place, all) => each.used || place < all.length - 1));
    }
    showReadings();
    showAnswers();
    const temperatures = [...form.querySelectorAll("[data-echo]")];
    temperatures.forEach(echo);
    form.addEventListener("input", (event) => {
      if (event.target === core) coreAt = Date.now();
      if (event.target.name === "units") follow();
      temperatures.forEach(echo);
      if (!blank) keepDraft();
    });
    form.querySelectorAll("details[name]").forEach((each) => each.addEventListener("toggle", () => {
      if (each.open) each.firstElementChild.scrollIntoView({block: "nearest"});
    }));
    if (blank) setTimeout(print);
    form.addEventListener("submit", (event) => {
      keepDraft();
      keepReading();
      showReadings();
      if (!navigator.onLine) {
        event.preventDefault();
        offline();
        note.tabIndex = -1;
        note.focus();
      } else addReadings();
    });
    kept.querySelector("ul + button").onclick = () => { localStorage.removeItem(READINGS); showReadings(); core.focus(); };
    answers.querySelector("ul + button").onclick = () => {
      localStorage.removeItem(ANSWERS);
      globalThis.caches?.delete("warmheap-answers");
      showAnswers();
      core.focus();
    };
    addEventListener("offline", offline);
    addEventListener("online", () => waiting()
      ? say("You are back in reach, and " + count(waiting()) + ". Send the form to use them.")
      : note.replaceChildren());
    if (!navigator.onLine || location.search === "?offline") offline();
    addEventListener("beforeinstallprompt", (event) => {
      event.preventDefault();
      const install = document.createElement("button");
      install.type = "button"; install.className = "quiet"; install.textContent = "Install on this phone";
      install.onclick = () => { install.remove(); event.prompt(); };
      form.after(install);
    });
  }
  // ---- on paper all parts are open, where the style sheet alone cannot open them; on a wide screen an answer's parts are
  const closed = () => [...main.querySelectorAll("details:not([open]):is(.paper-too, .parts > *, .or)")];
  if (!CSS.supports("selector(::details-content)")) {
    let opened = [];
    addEventListener("beforeprint", () => {
      opened = closed();
      opened.forEach((each) => { each.removeAttribute("name"); each.open = true; });
    });
    addEventListener("afterprint", () => opened.forEach((each) => { each.open = false; }));
  }
  if (matchMedia("(min-width: 62.5rem)").matches) main.querySelectorAll(".rest > .wide").forEach((each) => { each.open = true; });

  if ("serviceWorker" in navigator) {
    addEventListener("load", () => navigator.serviceWorker.register("/page/worker.js", {scope: "/"}).catch(() => {}));
  }
})();
