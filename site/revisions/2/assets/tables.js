// On a narrow screen a table that is too wide becomes one block a row, each cell with the head of its column before it,
// so that nobody has to push it sideways. Without this file it can still be pushed.
"use strict";

(function () {
  const NARROW = window.matchMedia("(max-width: 36rem)");

  function stack(box) {
    const table = box.querySelector("table");
    if (!table || table.classList.contains("stacked") || box.scrollWidth <= box.clientWidth) {
      return;
    }
    const heads = [...table.querySelectorAll("thead tr > *")].map((head) => head.textContent.trim());
    for (const row of table.tBodies[0].rows) {
      [...row.cells].forEach(function (cell, at) {
        cell.dataset.head = at ? heads[at] || "" : "";
      });
    }
    table.classList.add("stacked");
    box.removeAttribute("tabindex");
  }

  function stackAll() {
    if (NARROW.matches) {
      document.querySelectorAll("main .scroll").forEach(stack);
    }
  }

  // A face that stands in for one still on its way is wider.
  const settled = () => document.fonts.ready.then(stackAll);

  settled();
  NARROW.addEventListener("change", settled);
  document.addEventListener("toggle", settled, true); // what was folded away had no width
})();
