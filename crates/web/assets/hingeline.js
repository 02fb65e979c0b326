// What the pages do beyond plain forms. Everything works without this file.

// The summary of a refused form is read out and seen first.
const summary = document.querySelector(".notice.bad[tabindex]");
if (summary) summary.focus();

// What is typed into a form stays on this device until the server has taken it: by person, page and form.
// Passwords, PINs and files never. The bench keeps its own drafts; a form that enters nothing is data-unkept.
const KEPT = "hingeline typed ";
const SENT = "hingeline sent";
const DAYS = 14;
const me = document.body.dataset.me;
const address = (() => {
  const here = new URL(location.href);
  here.searchParams.delete("done");
  return here.pathname + here.search;
})();

// A device may refuse to keep anything; then nothing is kept.
function stored(store, key) {
  try { return JSON.parse(store.getItem(key)); } catch { return null; }
}
function store(where, key, value) {
  try { if (value) where.setItem(key, JSON.stringify(value)); else where.removeItem(key); } catch { /* not kept */ }
}
function keys() {
  try { return Object.keys(localStorage).filter((key) => key.startsWith(KEPT)); } catch { return []; }
}
const pathOf = (form) => new URL(form.getAttribute("action") || location.href, location.href).pathname;
const choosable = (field) => field.type === "checkbox" || field.type === "radio";

function fieldsOf(form) {
  const never = ["password", "file", "hidden", "submit", "button", "reset", "fieldset"];
  const fields = [...form.elements].filter((field) => field.name && !field.disabled && !never.includes(field.type));
  const count = {};
  return fields.map((field) => {
    if (choosable(field)) return { id: `${field.name}=${field.value}`, field };
    count[field.name] = (count[field.name] ?? -1) + 1;
    return { id: `${field.name} ${count[field.name]}`, field };
  });
}
function valueOf(field) { return choosable(field) ? field.checked : field.value; }
function servedOf(field) {
  if (choosable(field)) return field.defaultChecked;
  if (field.tagName !== "SELECT") return field.defaultValue;
  return ([...field.options].find((option) => option.defaultSelected) ?? field.options[0])?.value ?? "";
}

// The time of day, with the day where that is another.
function clock(at) {
  const two = (number) => String(number).padStart(2, "0");
  const day = (date) => [date.getFullYear(), two(date.getMonth() + 1), two(date.getDate())].join("-");
  const then = new Date(at);
  const time = `${two(then.getHours())}:${two(then.getMinutes())}`;
  return day(then) === day(new Date()) ? time : `${time} on ${day(then)}`;
}

const seenBy = (form) => form.querySelector("input[name=seen]")?.value;
const answered = document.body.dataset.posted !== undefined;

// One line above the form, with one button.
function lineOf(form) {
  let line = null;
  return (words, button, action) => {
    line?.remove();
    line = document.createElement("p");
    line.className = "kept";
    line.setAttribute("role", "status");
    const press = document.createElement("button");
    press.type = "button";
    press.className = "small";
    press.textContent = button;
    press.addEventListener("click", action);
    line.append(`${words} `, press);
    form.prepend(line);
  };
}

function sentWith(form, key, save) {
  form.addEventListener("submit", () => {
    save();
    forgetTaken();
    store(sessionStorage, SENT, { path: pathOf(form), key });
  });
}

// A form whose fields hang on each other, and whose rows come and go, is kept whole, what it hides too. Its own script
// makes the fields anew from the event "putback"; until it has, nothing is kept in the place of what was.
function keepWhole(form, key) {
  const say = lineOf(form);
  const counts = (field) => field.name && !["seen", "do", "weight.job"].includes(field.name);
  const state = (of) => Object.fromEntries([...form.elements].filter(counts).map((field) => [field.name, of(field)]));
  const same = (one, other) => {
    const names = Object.keys(one);
    return names.length === Object.keys(other).length && names.every((name) => one[name] === other[name]);
  };
  const kept = stored(localStorage, key);
  const served = state((field) => (field.type === "hidden" ? field.value : servedOf(field)));
  // What the page came with; the answer to a form came with what was typed.
  const first = answered ? kept?.served ?? {} : served;
  let waits = false;
  const save = () => {
    if (waits) return;
    const values = state((field) => field.value);
    store(localStorage, key, same(values, first) ? null : { at: Date.now(), seen: seenBy(form), served: first, values });
  };
  const remake = (values, done) => {
    waits = true;
    form.dispatchEvent(new CustomEvent("putback", { detail: { values, done: (good) => { waits = !good; done(good); } } }));
  };
  const put = (from) => {
    // What nobody touched is as the page has it now: the record may have gone on.
    const values = { ...from.values };
    for (const [name, value] of Object.entries(served)) {
      if (name in values && from.served[name] === values[name]) values[name] = value;
    }
    remake(values, (good) => {
      if (!good) {
        say(`What you typed at ${clock(from.at)} is kept on this device, but the page did not get it back.`, "Try again", () => put(from));
        return;
      }
      store(localStorage, key, { ...from, served: first, values });
      say(`What you typed at ${clock(from.at)} is back; it is not entered yet.`, "Drop it", () => {
        remake(served, (dropped) => {
          if (!dropped) return;
          store(localStorage, key, null);
          say("Dropped.", "Put it back", () => put(from));
        });
      });
    });
  };
  if (kept?.served && !answered) {
    waits = true;
    addEventListener("DOMContentLoaded", () => put(kept));
  }
  for (const name of ["input", "change"]) form.addEventListener(name, save);
  sentWith(form, key, save);
}

function keep(form, key) {
  let elsewhere = {};
  const seen = () => seenBy(form);
  const save = () => {
    // The answer to a form shows what was typed into it, so there everything counts as typed.
    const typed = fieldsOf(form).filter(({ field }) => answered || valueOf(field) !== servedOf(field));
    const values = { ...elsewhere, ...Object.fromEntries(typed.map(({ id, field }) => [id, valueOf(field)])) };
    store(localStorage, key, Object.keys(values).length ? { at: Date.now(), seen: seen(), values } : null);
  };
  const told = () => {
    for (const { field } of fieldsOf(form)) field.dispatchEvent(new Event("change", { bubbles: true }));
  };
  const say = lineOf(form);
  const put = (kept) => {
    let any = false;
    let unticked = false;
    elsewhere = { ...kept.values };
    for (const { id, field } of fieldsOf(form)) {
      if (!(id in kept.values)) continue;
      delete elsewhere[id];
      // What was confirmed of an earlier state of the record is confirmed anew.
      if (field.type === "checkbox" && kept.values[id] && kept.seen !== seen()) {
        unticked = unticked || !field.checked;
        continue;
      }
      if (choosable(field)) field.checked = kept.values[id]; else field.value = kept.values[id];
      any = true;
    }
    if (!any && !unticked) return;
    const folded = form.closest("details");
    if (folded) folded.open = true;
    const again = unticked ? " The record changed since: set the ticks again." : "";
    say(`What you typed at ${clock(kept.at)} is back; it is not entered yet.${again}`, "Drop it", () => {
      form.reset();
      elsewhere = {};
      told();
      store(localStorage, key, null);
      say("Dropped.", "Put it back", () => { put(kept); told(); });
    });
  };
  const kept = stored(localStorage, key);
  if (kept && !answered) put(kept);
  for (const { id, field } of kept && answered ? fieldsOf(form) : []) {
    // A field that was not on the page that was sent: another station.
    if (!choosable(field) && field.value === "" && kept.values[id]) field.value = kept.values[id];
  }
  if (kept && answered) elsewhere = Object.fromEntries(Object.entries(kept.values).filter(
    ([id]) => !fieldsOf(form).some((field) => field.id === id)));
  for (const name of ["input", "change"]) form.addEventListener(name, save);
  sentWith(form, key, save);
}

function forgetTaken() { document.cookie = "hingeline-taken=; Path=/; Max-Age=0; SameSite=Strict"; }

const sent = stored(sessionStorage, SENT);
const taken = document.cookie.split("; ").find((cookie) => cookie.startsWith("hingeline-taken="));
if (taken) forgetTaken();
// A form that was taken leads to another page.
if (sent && taken && document.body.dataset.posted === undefined && decodeURIComponent(taken.split("=")[1]) === sent.path) {
  store(localStorage, sent.key, null);
  store(sessionStorage, SENT, null);
}
for (const key of keys()) {
  const at = stored(localStorage, key)?.at ?? 0;
  if (Date.now() - at > DAYS * 86400000) store(localStorage, key, null);
}
for (const form of me ? document.querySelectorAll("form[method=post]:not(.bench, .theme, [data-unkept])") : []) {
  const path = pathOf(form);
  const again = answered && sent && sent.path === path;
  if (!fieldsOf(form).length && !again) continue;
  const how = form.dataset.whole === undefined ? keep : keepWhole;
  how(form, again ? sent.key : `${KEPT}${me} ${address} ${path}`);
}
// The log-in page says so where something waits for whoever was logged out.
const waits = document.querySelector("[data-kept]");
if (waits && keys().some((key) => key.split(" ")[3] === waits.dataset.kept)) waits.hidden = false;

// A part of a form that goes with one choice is shown with that choice.
for (const part of document.querySelectorAll("[data-when]")) {
  const [name, values] = part.dataset.when.split("=");
  const form = part.closest("form");
  const show = () => { part.hidden = !values.split("|").includes(new FormData(form).get(name)); };
  form.addEventListener("change", show);
  show();
}

// The answer to a form takes the address of the page of that form: back, forward and “load again” then ask for that page,
// where what was typed is put back, and do not send the form a second time. Without a script the browser asks first.
const formPage = document.body.dataset.posted;
if (formPage && formPage !== "/") history.replaceState(history.state, "", formPage);

// A form is sent once: a second press while the first is on its way does nothing.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
    // Where the answer is a file, the page stays.
    setTimeout(() => delete form.dataset.sent, 4000);
  });
}
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});
