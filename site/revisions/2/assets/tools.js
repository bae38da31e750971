// The reading corrector and the converter. Factors, steps and directions come with the page, from the figures of the
// handbook; here they are only multiplied and rounded. Without this file the tables of the page stand alone.
"use strict";

(function (handbook) {
  const exact = handbook.exact;
  const PLEASE = "Type the number as it is shown, with digits only.";

  function written(element, text, cls) {
    element.textContent = text;
    element.className = cls ? "result " + cls : "result";
  }

  // ---- reading corrector ----

  function corrector(form) {
    const gas = form.elements.namedItem("gas");
    const reading = form.elements.namedItem("reading");
    const result = form.querySelector("output");
    const how = form.querySelector(".how");
    const unit = form.querySelector(".unit");

    function refuse(text) {
      written(result, text, "refused");
      how.textContent = "";
      reading.setAttribute("aria-invalid", "true");
    }

    function update() {
      const data = gas.selectedOptions[0].dataset;
      unit.textContent = data.unit;
      how.textContent = "";
      reading.removeAttribute("aria-invalid");
      if (!reading.value.trim()) {
        written(result, "", "");
        return;
      }
      const shown = exact.typed(reading.value);
      if (!shown) {
        refuse(PLEASE);
        return;
      }
      if (exact.compared(shown, exact.parsed(data.top)) > 0) {
        const top = exact.plain(exact.parsed(data.top)) + "\u00a0" + data.unit;
        refuse("No detector allowed here shows more than " + top + ". If the display says over range, leave.");
        return;
      }
      const rule = exact.rule(data);
      const value = exact.times(shown, exact.parsed(data.factor));
      const amount = exact.printed(value, rule).replace(" ", "\u00a0") + "\u00a0" + data.unit;
      const full = exact.compared(shown, exact.parsed(data.full)) >= 0;
      const leave = exact.capped(value, rule) || full;
      written(result, amount + (leave ? ": leave" : " of " + data.gas + " is really there"), leave ? "leave" : "");
      how.textContent =
        (full ? "The display is at full scale: there may be more. " : "") +
        exact.plain(shown) + " × " + data.factorPrinted + ", rounded " + data.direction + ".";
    }

    form.addEventListener("input", update);
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      update();
    });
    update();
  }

  // ---- converter ----

  function converter(form) {
    const gas = form.elements.namedItem("gas");
    const value = form.elements.namedItem("value");
    const unit = form.elements.namedItem("unit");
    const message = form.querySelector("output");
    const rows = form.querySelectorAll("[data-to]");

    function update() {
      const data = gas.selectedOptions[0].dataset;
      const scale = (name) => gas.selectedOptions[0].getAttribute("data-" + name);
      const rule = exact.rule(data);
      const given = exact.typed(value.value);
      value.removeAttribute("aria-invalid");
      let text = "";
      let volume = null;
      if (value.value.trim() && !given) {
        text = PLEASE;
      } else if (given && !scale(unit.value)) {
        text = data.gas + " has no lower explosive limit on this site's basis, so no share of it can be converted.";
      } else if (given) {
        volume = exact.times(given, exact.parsed(scale(unit.value)));
        if (exact.compared(volume, exact.parsed(data.whole)) > 0) {
          volume = null;
          text = "More than all of the air cannot be this gas.";
        }
      }
      if (text) {
        value.setAttribute("aria-invalid", "true");
      }
      written(message, text, text ? "refused" : "");
      for (const row of rows) {
        const per = scale(row.dataset.to);
        row.textContent = !per ? "no limit" : volume ? exact.printed(exact.over(volume, exact.parsed(per)), rule) : "–";
      }
    }

    form.addEventListener("input", update);
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      update();
    });
    update();
  }

  for (const form of document.querySelectorAll("form.tool")) {
    form.hidden = false;
    (form.classList.contains("corrector") ? corrector : converter)(form);
  }
})(window.handbook);
