// The bench: every entry is worked out by the server and redrawn; what is typed is kept field by field.
// Without this file the same page works as a plain form. Nothing is calculated here.

const form = document.querySelector("form.bench");
const whole = form && form.querySelector("fieldset.whole");
// While a button is being pressed nothing on the page moves, so that what is pressed is what was aimed at.
const press = (() => {
  let down = false;
  let lifted = 0;
  const waiting = [];
  addEventListener("pointerdown", (event) => {
    const aimed = event.target instanceof Element && event.target.closest("button, a, label");
    down = Boolean(aimed) && !event.target.closest("#keypad");
    clearTimeout(lifted);
    // A finger that slips away says nothing more.
    if (down) lifted = setTimeout(up, 2000);
  }, true);
  for (const name of ["pointerup", "pointercancel"]) {
    addEventListener(name, () => {
      clearTimeout(lifted);
      // Focus and click of a finger come a little after it is lifted.
      lifted = setTimeout(up, down ? 250 : 0);
    }, true);
  }
  function up() {
    down = false;
    for (const action of waiting.splice(0)) action();
  }
  return { after: (action) => { if (down) waiting.push(action); else action(); } };
})();

if (form && !whole.disabled) start();

function start() {
  form.classList.add("scripted");
  for (const input of form.querySelectorAll("input[data-series]")) series(input);
  const drafts = keepDrafts();
  const redraw = redrawing(drafts);
  const changed = (name) => {
    drafts.keep(name);
    redraw.soon();
  };
  form.addEventListener("input", (event) => {
    if (event.target.name) changed(event.target.name);
  });
  form.addEventListener("change", (event) => {
    if (event.target.name) changed(event.target.name);
    if (event.target.name === "side") turnTo(event.target.value);
  });
  form.addEventListener("focusout", (event) => {
    if (withUnit(event.target)) changed(event.target.name);
    press.after(redraw.say);
  });
  form.addEventListener("keydown", enterKey);
  form.addEventListener("click", (event) => pressed(event, changed));
  let sent = false;
  form.addEventListener("submit", async (event) => {
    takeAll();
    if (sent || !drafts.open()) {
      drafts.leave(event.submitter);
      return;
    }
    // What is typed reaches the draft first: should the form not get through, it is there after a new log-in.
    event.preventDefault();
    sent = true;
    await drafts.settle();
    if (drafts.lost()) {
      location.assign(logIn());
      return;
    }
    // It was not sent yet, whatever the guard against a second press believes.
    delete form.dataset.sent;
    form.requestSubmit(event.submitter);
  });
  // Another method: what was read stays in the draft of this one.
  for (const link of document.querySelectorAll(".ways-of-weighing a")) {
    link.addEventListener("click", async (event) => {
      takeAll();
      if (!drafts.open()) return;
      event.preventDefault();
      await drafts.settle();
      location.assign(link.href);
    });
  }
  unitLinks((link) => {
    // What was typed so far keeps the unit that stood beside it.
    takeAll();
    for (const input of form.querySelectorAll("[data-unit]")) if (withUnit(input)) changed(input.name);
    form.elements.units.value = link.dataset.units;
    for (const input of form.querySelectorAll("[data-units]")) showUnit(input, link.dataset[input.dataset.units.replace("-w", "W")]);
    redraw.soon();
  });
  keypad();
  drafts.begin();
  if (new URLSearchParams(location.search).has("method")) drafts.keep("method");
  redraw.soon();
}

function takeAll() {
  for (const set of form.querySelectorAll("[data-set]")) if (set.take) set.take();
}

// The log-in page, with the way back to this one.
function logIn() {
  return `/log-in?out=yes&to=${encodeURIComponent(location.pathname + location.search)}`;
}

// ---- Small things ----

function make(tag, attributes = {}, ...content) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null) made.setAttribute(name, value);
  }
  made.append(...content);
  return made;
}

function readings(text) {
  return text.split(/[;\n]/).map((reading) => reading.trim()).filter(Boolean);
}

const BARE = /^[-−+]?[\d\s.,/½¼¾⅛⅜⅝⅞-]*\d[\d\s.,/½¼¾⅛⅜⅝⅞]*$|^[-−+]?\d*\s*[½¼¾⅛⅜⅝⅞]$/;

// A bare number gets the unit that stands beside its field, and no other.
function complete(text, unit) {
  return unit && BARE.test(text.trim()) ? `${text.trim()} ${unit}` : text;
}

function withUnit(input) {
  if (!input.dataset || input.dataset.series !== undefined) return false;
  const text = complete(input.value, input.dataset.unit);
  if (text === input.value) return false;
  input.value = text;
  return true;
}

function showUnit(input, unit) {
  if (!unit) return;
  input.dataset.unit = unit;
  const label = form.querySelector(`label[for="${CSS.escape(input.id)}"] .unit`);
  if (label) label.textContent = unit;
}

// The words of a label, without its unit and without what is only seen.
function named(label) {
  const copy = label.cloneNode(true);
  for (const part of copy.querySelectorAll(".unit, .optional, [aria-hidden]")) part.remove();
  return copy.textContent.trim();
}

function turnTo(side) {
  form.classList.toggle("side-forward", side === "forward");
  form.classList.toggle("side-aft", side === "aft");
}

// Enter goes on to the next field; it never enters the weighing by itself.
function enterKey(event) {
  if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
  event.preventDefault();
  const set = event.target.closest("[data-set]");
  if (set && set.take && set.take()) return;
  next(event.target);
}

function next(from) {
  const all = [...form.querySelectorAll("input:not([type=hidden]), select")].filter((field) => field.offsetParent !== null);
  // The words of one choice are one stop.
  const same = (field) => field.type === "radio" && field.name === from.name;
  const after = all.slice(all.indexOf(from) + 1).find((field) => !same(field));
  if (!after) return false;
  const chosen = after.type === "radio" && all.find((field) => field.name === after.name && field.checked);
  (chosen || after).focus();
  return true;
}

function unitLinks(chosen) {
  for (const link of document.querySelectorAll(".units a[data-units]")) {
    link.addEventListener("click", (event) => {
      event.preventDefault();
      for (const other of document.querySelectorAll(".units a")) other.removeAttribute("aria-current");
      link.setAttribute("aria-current", "true");
      const address = new URL(location.href);
      address.searchParams.set("units", link.dataset.units);
      history.replaceState(null, "", address);
      for (const way of document.querySelectorAll(".ways-of-weighing a")) {
        const to = new URL(way.href);
        to.searchParams.set("units", link.dataset.units);
        way.href = to;
      }
      chosen(link);
    });
  }
}

// ---- The preview ----

function redrawing(drafts) {
  let timer = 0;
  let asking = null;
  let good = Boolean(form.querySelector('[data-part="rest"] > *'));
  let answer = null;

  const part = (name) => form.querySelector(`[data-part="${name}"]`);
  const put = (name, from) => {
    const place = part(name);
    if (place && from) place.replaceChildren(...from.cloneNode(true).childNodes);
  };

  function say() {
    if (!answer) return;
    const here = document.activeElement;
    for (const place of form.querySelectorAll("[data-said-of]")) {
      const name = place.dataset.saidOf;
      const found = [...answer.querySelectorAll("[data-said]")].filter((said) => said.dataset.said === name);
      const field = place.closest(".at, .set, .struck, .field");
      // Whoever is still typing in a field is not interrupted there.
      const typing = field && field.contains(here) && here.value !== "" && here.tagName === "INPUT" && here.type !== "radio";
      place.replaceChildren(...(typing ? [] : found.flatMap((said) => [...said.cloneNode(true).childNodes])));
      if (field) field.classList.toggle("wrong", place.childNodes.length > 0);
    }
  }

  function show(text) {
    const answered = new DOMParser().parseFromString(text, "text/html").querySelector("[data-state]");
    if (!answered) return;
    answer = answered;
    const isWhole = answer.dataset.state === "whole";
    const from = (name) => answer.querySelector(`[data-part="${name}"]`);
    if (isWhole) for (const name of ["stand", "band", "rest"]) put(name, from(name));
    if (!isWhole && !good) put("stand", from("schematic"));
    good = good || isWhole;
    for (const name of ["stand", "band", "rest"]) part(name).classList.toggle("stale", good && !isWhole);
    const verdict = from("verdict");
    if (verdict && verdict.textContent !== part("verdict").textContent) put("verdict", verdict);
    short(part("verdict"), !isWhole);
    put("check", from("check"));
    put("expected", from("expected"));
    checkField(from("check"));
    mark(answer);
    say();
  }

  async function ask() {
    if (asking) asking.abort();
    asking = new AbortController();
    try {
      const body = new URLSearchParams(new FormData(form));
      const got = await fetch(form.dataset.preview, { method: "POST", body, signal: asking.signal });
      if (got.redirected || got.status === 401) drafts.loggedOut();
      if (!got.ok || got.redirected) return;
      const text = await got.text();
      press.after(() => show(text));
    } catch (error) {
      if (error.name !== "AbortError") setTimeout(soon, 4000);
    }
  }

  function soon() {
    clearTimeout(timer);
    timer = setTimeout(ask, 120);
  }
  return { soon, say };
}

// The verdict in short, where the whole one is out of sight: over the keypad, and at the foot of a narrow screen.
function short(verdict, open) {
  const section = verdict.querySelector(".verdict");
  const tone = section ? ["good", "bad", "doubt"].find((word) => section.classList.contains(word)) || "" : "";
  const big = section && section.querySelector(".big");
  for (const place of document.querySelectorAll(".verdict-short")) {
    // While typing is unfinished the last one stays, greyed.
    if (!open && big) {
      place.textContent = big.textContent.replace(" the approved limits", "");
      place.className = `verdict-short ${tone}`;
    }
    place.classList.toggle("old", open);
  }
}

// The check weight of the scale that is chosen now.
function checkField(check) {
  const field = form.querySelector(".at-check");
  if (!field || !check) return;
  field.hidden = !check.dataset.label;
  const label = field.querySelector("label");
  label.replaceChildren(check.dataset.label, " ", ...label.querySelectorAll(".unit"), make("span", { class: "optional" }, " optional"));
}

// Readings that stand out: said beside their set, and marked themselves.
function mark(answer) {
  for (const place of form.querySelectorAll("[data-look-of]")) {
    const found = [...answer.querySelectorAll("[data-look]")].find((look) => look.dataset.look === place.dataset.lookOf);
    if (found && found.textContent !== place.textContent) place.replaceChildren(...found.cloneNode(true).childNodes);
    const set = place.closest("[data-set]");
    if (found && set && set.mark) set.mark(found.dataset.index === undefined ? -1 : Number(found.dataset.index));
  }
}

// ---- Readings tapped in one after the other ----

function series(input) {
  const set = input.closest("[data-set]");
  const label = set.querySelector("label");
  const chips = make("div", { class: "chips" });
  const entry = make("input", {
    id: `${input.id}-entry`, autocomplete: "off", "data-units": input.dataset.units, "data-unit": input.dataset.unit || null,
    "data-series": true, "aria-describedby": input.getAttribute("aria-describedby"),
  });
  const add = make("button", { type: "button", class: "quiet", onclick: () => { set.take(); entry.focus(); } }, "Add");
  const tools = make("div", { class: "chip-tools", hidden: true });
  const how = make("p", { class: "hint", hidden: true }, "Press a reading to change it.");
  let edited = -1;
  let marked = -1;
  label.htmlFor = entry.id;
  input.type = "hidden";
  input.after(chips, how, make("div", { class: "entry" }, entry, add), tools);

  function write(all) {
    input.value = all.join("; ");
    input.dispatchEvent(new Event("input", { bubbles: true }));
    draw();
  }
  function choose(index) {
    edited = index === edited ? -1 : index;
    entry.value = edited < 0 ? "" : readings(input.value)[edited];
    draw();
    if (edited >= 0) entry.select();
    entry.focus();
  }
  function draw() {
    const all = readings(input.value);
    if (edited >= all.length) edited = -1;
    chips.replaceChildren(...all.map((reading, index) => make("button", {
      type: "button", class: index === marked ? "chip marked" : "chip", "aria-pressed": index === edited ? "true" : "false",
      "aria-label": `reading ${index + 1}: ${reading}; ${index === marked ? "look at it; " : ""}press to change it`, onclick: () => choose(index),
    }, reading)), ...struckOf(set.dataset.set).map((row) => make("button", {
      type: "button", class: "chip struck-chip", "aria-label": `${row.querySelector('[name$=".reading"]').value} does not count; press to change that`,
      onclick: () => row.querySelector('[name$=".reason"]').focus(),
    }, make("s", {}, row.querySelector('[name$=".reading"]').value))));
    how.hidden = chips.childNodes.length === 0;
    add.textContent = edited < 0 ? "Add" : "Change";
    set.dispatchEvent(new Event("edits", { bubbles: true }));
    tools.hidden = edited < 0;
    tools.replaceChildren(
      make("button", { type: "button", class: "quiet small", onclick: () => { const at = edited; edited = -1; entry.value = ""; write(all.filter((_, index) => index !== at)); } }, "Mistyped: take out"),
      make("button", { type: "button", class: "quiet small", onclick: () => { const at = edited; edited = -1; entry.value = ""; strike(set.dataset.set, at); } }, "Strike, with a reason"),
      make("button", { type: "button", class: "quiet small", onclick: () => choose(edited) }, "Leave it"),
    );
  }
  // Takes what stands in the entry as a reading; says whether there was one.
  set.take = () => {
    const typed = readings(entry.value).map((reading) => complete(reading, entry.dataset.unit));
    if (typed.length === 0) return false;
    const all = readings(input.value);
    if (edited < 0) all.push(...typed);
    else all.splice(edited, 1, ...typed);
    edited = -1;
    entry.value = "";
    write(all);
    return true;
  };
  set.put = (text) => { input.value = text; draw(); };
  set.edits = () => edited >= 0;
  set.mark = (index) => {
    if (index === marked) return;
    marked = index;
    // Whoever stands on a reading keeps it.
    if (!chips.contains(document.activeElement)) draw();
    else for (const [at, chip] of [...chips.children].entries()) chip.classList.toggle("out", at === marked);
  };
  set.write = write;
  entry.addEventListener("input", (event) => event.stopPropagation());
  entry.addEventListener("change", (event) => event.stopPropagation());
  // Whoever goes on to another field has read: what stands there counts.
  entry.addEventListener("blur", (event) => {
    const to = event.relatedTarget;
    // The keypad belongs to the field: going there is not going on.
    if (to && (set.contains(to) || to.closest("#keypad, #keypad-switch"))) return;
    press.after(() => { if (document.activeElement !== entry) set.take(); });
  });
  draw();
}

// ---- Struck readings, parts, buttons ----

function struckOf(set) {
  return [...document.querySelectorAll("#struck .struck:not([hidden])")].filter((row) => row.querySelector('[name$=".set"]').value === set);
}

function pressed(event, changed) {
  const button = event.target.closest("button[name=do]");
  if (!button) return;
  const [what, first, second] = button.value.split(" ");
  if (what === "enter" || what === "clear" || what.endsWith("-older")) return;
  event.preventDefault();
  if (what === "strike") strike(first, Number(second));
  if (what === "restore") restore(button.closest(".struck"), changed);
  if (button.dataset.addPart !== undefined) anotherPart();
}

function strike(name, index) {
  const set = form.querySelector(`[data-set="${name}"]`);
  const all = readings(form.elements[name].value);
  const [reading] = all.splice(index, 1);
  if (!reading) return;
  const list = document.getElementById("struck");
  const row = Math.max(-1, ...[...form.querySelectorAll("[data-row].struck")].map((struck) => Number(struck.dataset.row))) + 1;
  const id = `f-struck-${row}-reason`;
  const field = (key, value) => make("input", { type: "hidden", name: `struck.${row}.${key}`, value });
  const reason = make("input", { id, name: `struck.${row}.reason`, autocomplete: "off", "aria-describedby": `said-${id}` });
  list.append(make("div", { class: "struck", "data-row": row },
    field("set", name), field("reading", reading),
    make("label", { for: id }, "Does not count: ", make("s", {}, reading), ` of ${named(set.querySelector("label"))}. Why?`),
    reason,
    make("button", { class: "quiet small", type: "submit", name: "do", value: `restore ${row}` }, "Let it count again"),
    make("div", { class: "said", id: `said-${id}`, "data-said-of": `struck.${row}.reason` })));
  set.write(all);
  for (const input of list.lastChild.querySelectorAll("input")) input.dispatchEvent(new Event("input", { bubbles: true }));
  reason.focus();
}

function restore(row, changed) {
  const value = (key) => row.querySelector(`[name$=".${key}"]`).value;
  const set = form.querySelector(`[data-set="${value("set")}"]`);
  const all = [...readings(form.elements[value("set")].value), value("reading")];
  for (const input of row.querySelectorAll("input")) {
    input.value = "";
    changed(input.name);
  }
  row.hidden = true;
  set.write(all);
}

function anotherPart() {
  const parts = form.querySelectorAll(".part");
  const last = parts[parts.length - 1];
  const [from, to] = [last.dataset.row, String(Number(last.dataset.row) + 1)];
  const copy = last.cloneNode(true);
  copy.dataset.row = to;
  for (const each of copy.querySelectorAll("[id], [for], [name], [aria-describedby], [data-said-of]")) {
    for (const name of ["id", "for", "aria-describedby"]) {
      if (each.hasAttribute(name)) each.setAttribute(name, each.getAttribute(name).replace(`part-${from}-`, `part-${to}-`));
    }
    for (const name of ["name", "data-said-of"]) {
      if (each.hasAttribute(name)) each.setAttribute(name, each.getAttribute(name).replace(`part.${from}.`, `part.${to}.`));
    }
    if (each.tagName === "INPUT" || each.tagName === "SELECT") each.value = "";
    if (each.dataset.saidOf) each.replaceChildren();
  }
  for (const wrong of copy.querySelectorAll(".wrong")) wrong.classList.remove("wrong");
  last.after(copy);
  copy.querySelector("input").focus();
}

// ---- Drafts: kept as typed, field by field; two people are told of each other; nothing is lost ----

function keepDrafts() {
  const store = `hingeline bench ${location.pathname} ${form.dataset.form}`;
  // Which of the buttons that end a draft was pressed here last.
  const ended = `${store} ended`;
  const status = document.getElementById("saved");
  const notices = document.getElementById("bench-notices");
  const revs = new Map();
  const waiting = new Map();
  let busy = false;
  let timer = 0;
  let over = false;
  let out = false;

  const rev = (name) => revs.get(name) ?? Number(form.dataset.rev);
  const say = (words, not) => {
    if (status.textContent !== words) status.textContent = words;
    status.classList.toggle("not", Boolean(not));
  };
  const remember = () => {
    try {
      if (waiting.size === 0) localStorage.removeItem(store);
      else localStorage.setItem(store, JSON.stringify([...waiting].map(([name, value]) => [name, value, rev(name)])));
    } catch { /* No room on this device: the server keeps it. */ }
  };

  function value(name) {
    if (name === "confirmed") {
      return [...form.querySelectorAll("[name=confirmed]:checked")].map((box) => box.value).join("\n");
    }
    if (name === "method") return form.dataset.method;
    const field = form.elements[name];
    return field ? complete(field.value, field.dataset && field.dataset.series === undefined ? field.dataset.unit : "") : "";
  }
  function put(name, text) {
    if (name === "confirmed") {
      const items = text.split("\n");
      for (const box of form.querySelectorAll("[name=confirmed]")) box.checked = items.includes(box.value);
      return true;
    }
    const field = form.elements[name];
    if (!field) return false;
    const set = field.closest && field.closest("[data-set]");
    if (set && set.put) set.put(text);
    else field.value = text;
    if (name === "side") turnTo(text);
    return true;
  }

  // What was read is kept under its method.
  const isRead = (name) => name.startsWith("struck.") || Boolean(form.querySelector(`[data-set="${CSS.escape(name)}"]`));
  const kept = (name) => (isRead(name) ? name + form.dataset.reads : name);
  const plain = (field) => field.split("@")[0];

  function keep(name) {
    if ((over && !out) || ["seen", "stage", "draft", "units", "do", "refused", "mends"].includes(name)) return;
    waiting.set(kept(name), value(name));
    remember();
    clearTimeout(timer);
    if (!out) timer = setTimeout(send, 350);
  }

  async function send() {
    if (busy || over) return;
    busy = true;
    try {
      while (waiting.size > 0 && !over) {
        const [name, text] = waiting.entries().next().value;
        if (!(await one(name, text))) break;
        if (waiting.get(name) === text) waiting.delete(name);
        remember();
      }
      if (waiting.size === 0 && !over) say("Saved as you type.");
    } catch {
      say(`Not saved yet: ${waiting.size === 1 ? "one field" : `${waiting.size} fields`}. It is kept on this device and tried again.`, true);
      timer = setTimeout(send, 4000);
    }
    busy = false;
  }

  async function one(name, text) {
    const body = new URLSearchParams({ form: form.dataset.form, field: name, value: text, rev: rev(name) });
    const got = await fetch(form.dataset.draft, { method: "POST", body });
    if (!(got.headers.get("content-type") || "").includes("json")) {
      if (got.redirected || got.status === 401 || got.status === 403) {
        loggedOut();
        return false;
      }
      throw new Error(String(got.status));
    }
    const saved = await got.json();
    if (saved.state === "kept") {
      revs.set(name, saved.rev);
      return true;
    }
    if (saved.state === "conflict") {
      if (saved.theirs === text) revs.set(name, saved.rev);
      else if (kept(plain(name)) === name) both(name, saved);
      return true;
    }
    over = true;
    gone();
    return false;
  }

  // Said over everything else, wherever on the page somebody types.
  function loggedOut() {
    if (out) return;
    over = true;
    out = true;
    say("Not saved: you are logged out. What you typed is kept on this device; log in again.", true);
    (document.querySelector("main") || document.body).append(make("div", { id: "logged-out", class: "notice bad", role: "alert" },
      make("span", { class: "sign", "aria-hidden": "true" }, "✗"),
      make("div", {}, make("strong", {}, "You are logged out: nothing is saved now."), " What you typed is kept on this device. ",
        make("a", { class: "button", href: logIn() }, "Log in and come back"))));
  }

  // Two people typed into one field: both are shown, and this person chooses.
  function both(field, saved) {
    const name = plain(field);
    const place = form.querySelector(`[data-said-of="${CSS.escape(name)}"]`);
    const label = place && place.closest(".at, .set, .field, fieldset")?.querySelector("label, legend");
    const words = label ? named(label) : name;
    const say = (text) => text || "(empty)";
    const notice = make("div", { class: "notice doubt", role: "alert" },
      make("span", { class: "sign", "aria-hidden": "true" }, "!"),
      make("div", {}, make("strong", {}, `Two people typed into “${words}”`), " ", "Which one counts?",
        make("div", { class: "two-typed" },
          make("button", { type: "button", class: "quiet", onclick: () => settle(saved.mine, true) }, make("small", {}, "mine"), say(saved.mine)),
          make("button", { type: "button", class: "quiet", onclick: () => settle(saved.theirs, false) }, make("small", {}, saved.by), say(saved.theirs)))));
    function settle(text, mine) {
      notice.remove();
      revs.set(field, saved.rev);
      if (!put(name, text)) location.reload();
      if (mine) keep(name);
      form.dispatchEvent(new Event("input"));
      form.querySelector("[name=date]").dispatchEvent(new Event("change", { bubbles: true }));
    }
    notices.append(notice);
    notice.querySelector("button").focus();
  }

  function gone() {
    say("Not saved: this weighing was entered or dropped in the meantime.", true);
    notices.append(make("div", { class: "notice doubt", role: "alert" },
      make("span", { class: "sign", "aria-hidden": "true" }, "!"),
      make("div", {}, make("strong", {}, "Entered or dropped by somebody else"), " What you see is only on this device. ",
        make("a", { href: location.href }, "Load the page again"), " to go on from what is there.")));
    localStorage.removeItem(store);
  }

  // Typed here, and the draft was ended elsewhere before it was saved.
  function lost(gone) {
    notices.append(make("div", { class: "notice doubt", role: "alert" },
      make("span", { class: "sign", "aria-hidden": "true" }, "!"),
      make("div", {}, make("strong", {}, "Entered or dropped by somebody else"), " Typed on this device before and not saved: ",
        gone.map(([field, text]) => `${plain(field).replaceAll("_", " ")}: ${text || "(empty)"}`).join(", "), ". Type it again where it still counts.")));
  }

  // What did not reach the server the last time.
  function begin() {
    let left = [];
    try { left = JSON.parse(localStorage.getItem(store) || "[]"); } catch { left = []; }
    // The draft that it belongs to was entered or dropped since: by this device with all of it, or by somebody else.
    const gone = left.filter(([, , known]) => known < Number(form.dataset.cleared));
    // The method is that of this page, also where the page before could not save its own any more.
    left = left.filter((one) => !gone.includes(one) && one[0] !== "method");
    if (gone.length > 0 && !localStorage.getItem(ended)) lost(gone);
    localStorage.removeItem(ended);
    remember();
    for (const [field, text, known] of left) {
      const name = plain(field);
      // Readings of another method stay with it.
      if (kept(name) === field && !put(name, text)) continue;
      revs.set(field, known);
      waiting.set(field, text);
    }
    if (waiting.size > 0) {
      say("Typed on this device and not saved yet; saving it now.", true);
      send();
    }
    window.addEventListener("online", send);
    window.addEventListener("beforeunload", (event) => {
      if (waiting.size > 0 && !over) event.preventDefault();
    });
  }
  // Waits until everything is saved, or cannot be, or it takes too long.
  async function settle() {
    clearTimeout(timer);
    send();
    for (let tries = 0; tries < 40 && waiting.size > 0 && !over; tries += 1) await new Promise((done) => { setTimeout(done, 50); });
    over = true;
  }
  // The form goes out: with a button that ends the draft, nothing of it is brought back later.
  function leave(button) {
    over = true;
    const what = button ? button.value : "";
    if (what === "clear") localStorage.removeItem(store);
    if (what === "clear" || what === "enter") localStorage.setItem(ended, what);
  }
  return { keep, begin, settle, loggedOut, open: () => out || (waiting.size > 0 && !over), lost: () => out, leave };
}

// ---- The keypad ----

const UNITS = {
  mass: ["lb", "oz", "g", "kg"],
  length: ["in", "mm", "ft", "cm"],
  angle: ["deg", "arcmin"],
  moment: ["in-lb", "g·cm", "tail-heavy", "nose-heavy"],
  "moment-within": ["in-lb", "g·cm", "N·m", "kg·mm"],
};
const FRACTIONS = ["1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8"];
// Finer parts: the digits before say how many of them.
const FINER = [[16, "sixteenths"], [32, "thirty-seconds"], [64, "sixty-fourths"]];

// How finely the rule of this weighing is divided, by the words of its choice; 64 where nobody knows.
function ruled() {
  const rule = form.elements.rule;
  const chosen = rule && rule.value && rule.selectedOptions[0].textContent.match(/\b1\/(\d+)/);
  return chosen ? Number(chosen[1]) : 64;
}

function keypad() {
  const pad = document.getElementById("keypad");
  const keys = make("div", { class: "keys" });
  const shown = make("output", {});
  const what = make("span", {});
  const toggle = make("button", { id: "keypad-switch", type: "button", "aria-expanded": "false", "aria-controls": "keypad" }, "Keypad");
  const finger = matchMedia("(pointer: coarse)");
  // Where the cursor is, and that place while it is a field that the keys write into.
  let at = null;
  let field = null;
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", "Keypad");
  pad.append(make("div", { class: "for" }, make("span", {}, what, " ", shown), make("span", { class: "verdict-short", "aria-hidden": "true" })), keys);
  document.body.append(make("a", { id: "verdict-bar", class: "verdict-short", href: "#verdict", "aria-hidden": "true", tabindex: "-1" }));
  form.querySelector(".day").append(toggle);
  toggle.addEventListener("click", () => open(true));
  // The field keeps the cursor while keys are pressed.
  for (const name of ["pointerdown", "mousedown"]) {
    for (const part of [pad, toggle]) part.addEventListener(name, (event) => event.preventDefault());
  }

  function silent() {
    for (const input of form.querySelectorAll("[data-units]")) {
      if (!pad.hidden || finger.matches) input.inputMode = "none";
      else input.removeAttribute("inputmode");
    }
  }
  function open(yes) {
    pad.hidden = !yes;
    toggle.hidden = yes;
    toggle.setAttribute("aria-expanded", String(yes));
    document.body.classList.toggle("with-keypad", yes);
    if (!finger.matches) localStorage.setItem("hingeline keypad", yes ? "open" : "");
    silent();
    if (!yes) return;
    if (!at) {
      const first = [...form.querySelectorAll("[data-units]:not([type=hidden])")].find((input) => input.offsetParent !== null && !input.value);
      if (first) first.focus();
      return;
    }
    if (document.activeElement !== at) at.focus();
    draw();
    clear();
  }
  // Brings the field into what the pad leaves free of the screen.
  function clear() {
    const box = at.getBoundingClientRect();
    const free = innerHeight - pad.offsetHeight;
    // Room for its label above and for what is said below.
    if (box.top < 40) scrollBy({ top: box.top - 60, behavior: "instant" });
    else if (free - 24 < box.bottom) scrollBy({ top: box.bottom - Math.max(free / 2, box.height + 60), behavior: "instant" });
  }
  function insert(text) {
    if (!field) return;
    let [from, to] = [field.selectionStart ?? field.value.length, field.selectionEnd ?? field.value.length];
    let added = text;
    const unit = field.value.match(/ ?[^\d\s.,/½¼¾⅛⅜⅝⅞−-]+$/);
    // Behind a unit a number begins anew only where pounds and ounces, feet and inches follow each other.
    if (/\d/.test(text) && from === to && unit && from === field.value.length) {
      if (["lb", "ft"].includes(unit[0].trim())) added = ` ${text}`;
      else from = to = field.value.length - unit[0].length;
    }
    field.setRangeText(added, from, to, "end");
    told();
  }
  function told() {
    field.dispatchEvent(new Event("input", { bubbles: true }));
    shown.value = field.value;
  }
  function unit(word) {
    if (!field) return;
    const known = Object.values(UNITS).flat();
    const before = field.value.trim();
    const last = known.find((each) => before.endsWith(` ${each}`));
    const heavy = word.endsWith("heavy");
    const rest = last && heavy === last.endsWith("heavy") && !(last === "lb" && word === "oz") ? before.slice(0, -last.length).trim() : before;
    field.value = `${rest} ${word}`;
    field.setSelectionRange(field.value.length, field.value.length);
    told();
  }
  function fraction(word) {
    const before = field ? field.value.slice(0, field.selectionStart ?? field.value.length) : "";
    insert(/\d$/.test(before) ? ` ${word}` : word);
  }
  function back() {
    if (!field) return;
    const [from, to] = [field.selectionStart ?? 0, field.selectionEnd ?? 0];
    field.setRangeText("", from === to ? Math.max(0, from - 1) : from, to, "end");
    told();
  }
  function go(add) {
    if (!at) return;
    const set = at.closest("[data-set]");
    if (add && set && set.take) {
      set.take();
      shown.value = "";
      return;
    }
    const from = at;
    if (set && set.take) set.take();
    if (next(from)) return;
    // Behind the last field comes the button.
    open(false);
    form.querySelector(".enter-button").focus();
  }
  const key = (words, press, kind = "", label = null) => make("button", { type: "button", class: kind, "aria-label": label, onclick: press }, words);
  const group = (kind, ...content) => make("div", { class: kind }, ...content);
  const hide = () => key("Hide", () => open(false), "small-word");
  const onward = () => key("Next", () => go(false), "go small-word", "next field");

  function draw() {
    if (at) keys.replaceChildren(...(field ? digits() : words()));
  }
  function digits() {
    const units = UNITS[field.dataset.units] || [];
    const digit = (sign) => key(sign, () => insert(sign));
    const set = field.closest("[data-set]");
    const last = set ? key(set.edits && set.edits() ? "Change" : "Add", () => go(true), "go small-word") : onward();
    const all = [
      group("digits", ..."789456123".split("").map(digit), key(".", () => insert(".")), digit("0"), key(",", () => insert(","))),
      group("signs", key("⌫", back, "", "delete"), key("−", () => insert("-"), "", "minus"), key("/", () => insert("/"), "", "fraction bar"),
        key("␣", () => insert(" "), "", "space"), set ? onward() : key("Clear", () => { field.value = ""; told(); }, "small-word"), hide()),
    ];
    if (field.dataset.units === "length") {
      const finer = FINER.filter(([parts]) => parts <= ruled());
      all.push(group("fractions", ...FRACTIONS.map((word) => key(word, () => fraction(word), "small-word")),
        ...finer.map(([parts, word]) => key(`n/${parts}`, () => insert(`/${parts}`), "small-word", `so many ${word}`))));
    }
    all.push(group("unit-keys", ...units.map((word) => key(word, () => unit(word), word.length > 3 ? "small-word" : "")), last));
    return all;
  }
  // A choice or a box under the cursor: its words are the keys. Fields in words have the keyboard.
  function words() {
    const pick = (word, press, chosen) => {
      const made = key(chosen ? `✓ ${word}` : word, () => { press(); draw(); }, "small-word");
      made.setAttribute("aria-pressed", String(chosen));
      return made;
    };
    let picks = [];
    if (at.type === "checkbox") picks = [pick(at.checked ? "ticked" : "tick it", () => at.click(), at.checked)];
    if (at.type === "radio") {
      picks = [...form.querySelectorAll(`input[name="${CSS.escape(at.name)}"]`)].map((radio) => pick(radio.parentElement.textContent.trim(), () => { radio.focus(); radio.click(); }, radio.checked));
    }
    if (at.tagName === "SELECT") {
      picks = [...at.options].filter((option) => option.value).map((option) => pick(option.textContent.trim(), () => {
        at.value = option.value;
        for (const name of ["input", "change"]) at.dispatchEvent(new Event(name, { bubbles: true }));
      }, option.selected));
    }
    return [group("choices", ...picks), group("choices", onward(), hide())];
  }
  function title() {
    const choice = at.closest("fieldset.toggle");
    const label = at.type === "checkbox" ? at.closest("label") : choice ? choice.querySelector("legend") : form.querySelector(`label[for="${CSS.escape(at.id)}"]`);
    return label ? named(label) : "";
  }

  let pointed = false;
  form.addEventListener("pointerdown", (event) => { pointed = event.target !== document.activeElement; });
  form.addEventListener("focusin", (event) => {
    if (!event.target.matches("input:not([type=hidden]), select")) return;
    at = event.target;
    field = at.dataset.units ? at : null;
    what.textContent = field && field.dataset.unit ? `${title()} (${field.dataset.unit})` : title();
    shown.value = field ? field.value : "";
    draw();
    if (field && pad.hidden && finger.matches) open(true);
    if (pad.hidden) return;
    // What stands there is chosen whole: the first key takes its place, the next ones add to it.
    if (field) field.select();
    clear();
  });
  form.addEventListener("click", (event) => {
    if (event.target === field && pointed && !pad.hidden) field.select();
    pointed = false;
  });
  form.addEventListener("input", (event) => { if (event.target === field) shown.value = field.value; });
  form.addEventListener("edits", (event) => { if (field && event.target.contains(field)) draw(); });
  form.addEventListener("change", (event) => { if (at && (event.target === at || event.target.name === "rule")) draw(); });
  silent();
  if (!finger.matches && localStorage.getItem("hingeline keypad")) open(true);
}
