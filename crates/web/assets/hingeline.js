// What the pages do beyond plain forms. Everything works without this file.

// The summary of a refused form is read out and seen first.
const summary = document.querySelector(".notice.bad[tabindex]");
if (summary) summary.focus();

// A part of a form that goes with one choice is shown with that choice.
for (const part of document.querySelectorAll("[data-when]")) {
  const [name, value] = part.dataset.when.split("=");
  const form = part.closest("form");
  const show = () => { part.hidden = new FormData(form).get(name) !== value; };
  form.addEventListener("change", show);
  show();
}

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
