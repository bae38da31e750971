// Card status: type a code, or come by the square code of a card, and read what it means. A code is answered only when it
// is whole, and only as it was typed: signs that are easily misread bring up likely codes, never an answer.
// Without this script the page is the whole table.
"use strict";

(function () {
  const table = document.querySelector("main table");
  const rows = table ? Array.from(table.tBodies[0].rows).filter((row) => row.id) : [];
  if (!rows.length) {
    return;
  }
  // Signs that eyes take for each other; codes themselves have no 0, 1, I, L, O and U after their letters.
  const ALIKE = ["0ODQ", "1ILJ", "2Z", "5S", "6G", "8B", "UV"];

  function plain(text) {
    return text.normalize("NFKC").toUpperCase().replace(/[^A-Z0-9]/g, "");
  }

  function blurred(text) {
    return Array.from(text, (sign) => (ALIKE.find((signs) => signs.includes(sign)) || sign)[0]).join("");
  }

  function add(parent, tag, text) {
    const element = document.createElement(tag);
    element.textContent = text || "";
    parent.append(element);
    return element;
  }

  // Each code is also known without the letters of the site.
  const codes = rows.map(function (row) {
    const whole = plain(row.id);
    const tail = plain(row.id.slice(row.id.lastIndexOf("-") + 1));
    return { row, code: row.id, names: [whole, tail] };
  });

  const form = document.createElement("form");
  form.className = "tool status";
  const box = add(form, "fieldset");
  add(box, "legend", "Which card is it?");
  const fields = add(box, "div");
  fields.className = "fields";
  const label = add(fields, "label");
  add(label, "span", "Code on the card");
  const input = add(label, "input");
  input.name = "code";
  input.autocomplete = "off";
  input.spellcheck = false;
  input.setAttribute("autocapitalize", "characters");
  const outcome = add(box, "p");
  outcome.className = "outcome";
  const answer = add(outcome, "output");
  answer.className = "result";
  const more = add(box, "p");
  more.className = "how";
  more.setAttribute("aria-live", "polite");
  table.parentElement.before(form);

  function where(fits) {
    return codes.filter((entry) => entry.names.some(fits));
  }

  function tell(text, detail, kind) {
    answer.textContent = text;
    answer.className = kind ? "result " + kind : "result";
    more.textContent = detail || "";
  }

  function show(found) {
    for (const entry of codes) {
      entry.row.hidden = !found.includes(entry);
    }
  }

  // What the row says in words, and whether the last day of the card has passed (due.js has marked it).
  function meaning(entry) {
    const state = entry.row.querySelector("strong").textContent;
    const late = entry.row.querySelector(".late") !== null;
    const usable = state.startsWith("current");
    const text = usable && late ? "current, but its last day has passed: destroy it" : state;
    tell(entry.code + ": " + text, "Card: " + entry.row.cells[2].textContent + ".", usable && !late ? "" : "leave");
  }

  function update() {
    const wanted = plain(input.value);
    const exact = where((name) => name === wanted);
    const begun = where((name) => name.startsWith(wanted));
    const likely = where((name) => blurred(name).startsWith(blurred(wanted)));
    input.removeAttribute("aria-invalid");
    if (!wanted) {
      show(codes);
      tell(input.value.trim() ? "Type letters and digits." : "", "", "refused");
    } else if (exact.length === 1) {
      show(exact);
      meaning(exact[0]);
    } else if (begun.length) {
      show(begun);
      tell("Type the whole code. Codes that begin so: " + begun.length + ".", "", "refused");
    } else {
      input.setAttribute("aria-invalid", "true");
      show(likely.length ? likely : codes);
      tell("No card of this list has the code " + wanted + ": take the card out of use and ask.", likely.length
        ? "Signs are easily misread. Compare sign by sign with " + likely.map((entry) => entry.code).join(", ") + "."
        : "", "leave");
    }
  }

  // A square code leads to #CODE; ?code=CODE does the same.
  function asked() {
    let code = new URLSearchParams(location.search).get("code") || "";
    try {
      code = decodeURIComponent(location.hash.slice(1)) || code;
    } catch (fault) {
      code = location.hash.slice(1);
    }
    if (code && code !== "content") {
      input.value = code;
      update();
    }
  }

  form.addEventListener("input", update);
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    update();
  });
  window.addEventListener("hashchange", asked);
  update();
  asked();
})();
