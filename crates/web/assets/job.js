// The pages of one job: what a script makes easier. Everything works without it.

// The photograph that was chosen is shown before it is sent.
for (const input of document.querySelectorAll("input[type=file][data-preview]")) {
  const preview = document.getElementById(input.dataset.preview);
  input.addEventListener("change", () => {
    const file = input.files[0];
    if (preview.src) URL.revokeObjectURL(preview.src);
    preview.hidden = !file;
    if (file) preview.src = URL.createObjectURL(file);
  });
}

// The text for the log book is copied by a button.
for (const button of document.querySelectorAll("[data-copy]")) {
  if (!navigator.clipboard) continue;
  button.hidden = false;
  const word = button.textContent;
  button.addEventListener("click", async () => {
    await navigator.clipboard.writeText(document.getElementById(button.dataset.copy).textContent);
    button.textContent = "Copied";
    setTimeout(() => { button.textContent = word; }, 2000);
  });
}

// The words of a finding are asked for where there is a finding.
for (const item of document.querySelectorAll(".look-item")) {
  const words = item.querySelector("input[type=text]");
  const field = words.closest(".field");
  const show = () => {
    const state = item.querySelector("input[type=radio]:checked");
    field.hidden = !(state && state.value === "finding") && !words.value && !field.classList.contains("wrong");
  };
  for (const radio of item.querySelectorAll("input[type=radio]")) {
    radio.addEventListener("change", () => { show(); if (radio.value === "finding") words.focus(); });
  }
  show();
}

// On a phone the way is scrolled to its step: the one of this page, or the first that is open.
const here = document.querySelector(".way a[aria-current]") ?? document.querySelector(".way .open a");
if (here) here.scrollIntoView({ block: "nearest", inline: "center" });

// Part and serial numbers and registrations stand in capitals, as crates/bench/src/record/capitals.rs proposes them: where
// it is seen, before it is sent. The box that keeps small letters stops it.
for (const input of document.querySelectorAll("input[data-capitals]")) {
  input.addEventListener("change", () => {
    if (input.form.querySelector("input[name=as-typed]:checked")) return;
    const marks = /\d|^\p{L}{1,2}-\p{L}{3,4}[,;.]?$/u;
    const capitals = input.value.replace(/\S+/g, (word) => (marks.test(word) ? word.toUpperCase() : word));
    if (capitals !== input.value) input.value = capitals;
  });
}
