// What the lists pages do beyond plain forms. Everything works without this file.

for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
