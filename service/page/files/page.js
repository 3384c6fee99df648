"use strict";
// The page works without this. With it: a draft is kept, readings wait out a lost connection, and it can be installed.
(() => {
  const DRAFT = "warmheap.draft", READINGS = "warmheap.readings";
  const MOST_READINGS = 200, DAY = 864e5, OLD_READING = 18e5, SAME_READING = 6e5, HISTORY_DAYS = 30;
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

  // ---- an answer came: what waited was used, and only what is the same next time stays in the draft
  if (main.dataset.page === "answer") {
    save(READINGS, load(READINGS, []).map((each) => ({...each, used: true})));
    const draft = load(DRAFT, null);
    if (draft) {
      const kept = draft.values.filter(([name]) => draft.lasting.includes(name) && name !== "pile.built_on");
      save(DRAFT, {...draft, coreAt: null, values: [...kept, ["pile.built_on", main.dataset.builtOn]]});
    }
  }

  // ---- the draft
  const core = document.getElementById("temperatures.core");
  let coreAt = null;
  const typed = () => [...new FormData(form)].filter(([name, value]) => value && name in form.elements && fieldOf(name));
  const fieldOf = (name) => [...form.elements].find((each) => each.name === name && each.type !== "hidden");
  const lasting = () => ["units",
    ...[...form.querySelectorAll("[data-lasting] [name]")].map((each) => each.name)];
  const keepDraft = () => save(DRAFT, {at: Date.now(), coreAt, values: typed(), lasting: lasting()});
  const badge = (details) => {
    if (!details || details.querySelector(".has")) return;
    const has = document.createElement("span");
    has.className = "has"; has.textContent = "filled in";
    details.querySelector("summary").append(has);
  };
  const bringBack = () => {
    const draft = load(DRAFT, null);
    if (!draft || !draft.values.length) return;
    coreAt = draft.coreAt;
    for (const [name, value] of draft.values) {
      for (const field of [...form.elements].filter((each) => each.name === name)) {
        if (field.type === "radio" || field.type === "checkbox") {
          if (field.value === value) field.checked = true;
        } else field.value = value;
        badge(field.closest("details"));
      }
    }
    say("What you typed on " + day(draft.at) + " is back.", "Start empty", () => {
      localStorage.removeItem(DRAFT);
      location.assign("/form");
    });
  };

  const isUs = () => form.elements.units.value === "us";

  // ---- both scales beside each temperature, as it is typed
  const echo = (field) => {
    const said = /^\s*([-+\u2212]?\d+(?:[.,]\d+)?)\s*(?:\u00b0|\u00ba|deg)?\s*([cf]?)/i.exec(field.value);
    const place = document.getElementById(field.id + "-echo");
    if (!said) { place.textContent = ""; return; }
    const number = Number(said[1].replace(",", ".").replace("\u2212", "-"));
    const here = (said[2] || (isUs() ? "f" : "c")).toUpperCase();
    const there = here === "F" ? "C" : "F";
    const other = here === "F" ? (number - 32) / 1.8 : number * 1.8 + 32;
    place.textContent = "= " + Math.round(other * 10) / 10 + " \u00b0" + there;
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
  const addReadings = () => {
    form.querySelectorAll("[type=hidden]").forEach((each) => each.remove());
    const now = Date.now(), at = coreAt ?? now;
    if (core.value.trim() && now - at > OLD_READING) hidden("read_at", new Date(at).toISOString());
    const newest = core.value.trim() ? at - SAME_READING : now;
    for (const each of load(READINGS, [])) {
      if (each.at <= newest && now - each.at < HISTORY_DAYS * DAY) {
        hidden("earlier", new Date(each.at).toISOString() + " " + (each.us === isUs() ? each.core : withUnit(each, " deg")));
      }
    }
  };
  const offline = () => say(
    "No connection. What you type stays on this phone, and " + count(waiting()) + ". Send the form when you are back in reach.");

  const lastAnswer = async () => {
    if (!("caches" in window) || !(await caches.match("/form/last"))) return;
    const link = document.createElement("a");
    link.href = "/form/last"; link.className = "button quiet"; link.textContent = "The last advice";
    form.after(link);
  };

  if (main.dataset.page === "form") {
    if ("fresh" in main.dataset) bringBack();
    if ("refused" in main.dataset) {
      save(READINGS, load(READINGS, []).filter((each, place, all) => each.used || place < all.length - 1));
    }
    showReadings();
    lastAnswer();
    const temperatures = [...form.querySelectorAll("[data-t]")];
    temperatures.forEach(echo);
    form.addEventListener("input", (event) => {
      if (event.target === core) coreAt = Date.now();
      if (event.target.name === "units") temperatures.forEach(echo);
      else if ("t" in event.target.dataset) echo(event.target);
      keepDraft();
    });
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
  if ("serviceWorker" in navigator) {
    addEventListener("load", () => navigator.serviceWorker.register("/page/worker.js", {scope: "/"}).catch(() => {}));
  }
})();
