// Card status: type a code and see what it means. Without this script the page is the whole table.
"use strict";
(() => {
  const table = document.querySelector("main table");
  if (!table || !table.tBodies.length) return;
  const rows = new Map();
  for (const row of table.tBodies[0].rows) if (row.id) rows.set(row.id.toUpperCase(), row);
  const plain = (text) => text.toUpperCase().replace(/[^A-Z0-9]/g, "");
  const box = document.createElement("p");
  const label = document.createElement("label");
  const input = document.createElement("input");
  const answer = document.createElement("output");
  label.textContent = "Code on the card: ";
  input.type = "text";
  input.autocomplete = "off";
  input.spellcheck = false;
  input.id = "status-code";
  answer.setAttribute("for", "status-code");
  answer.setAttribute("aria-live", "polite");
  label.append(input);
  box.append(label, " ", answer);
  table.parentElement.before(box);
  const say = (wanted) => {
    let shown = 0;
    let only = null;
    for (const [code, row] of rows) {
      const fits = plain(code).includes(wanted);
      row.hidden = !fits;
      if (fits) { shown += 1; only = row; }
    }
    if (!wanted) answer.textContent = "";
    else if (shown === 0) answer.textContent = "No such code was ever printed: take the card out of use and ask.";
    else if (shown === 1) answer.textContent = only.cells[0].textContent + ": " + only.cells[3].textContent;
    else answer.textContent = shown + " codes begin or end so; go on typing.";
  };
  input.addEventListener("input", () => say(plain(input.value)));
  const asked = () => {
    const code = decodeURIComponent(location.hash.slice(1));
    if (!code || !/^[A-Z]{2,6}-[A-Z0-9]+$/i.test(code)) return;
    input.value = code;
    say(plain(code));
  };
  addEventListener("hashchange", asked);
  asked();
})();
