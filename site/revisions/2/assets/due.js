// Says beside each date marked data-due or data-until how far it is from today: something falls due then, or is valid no
// longer. What was true on the day of the build is already in the page, so nothing is lost without this file. It counts
// days and knows nothing else. A span marked data-tally lists days and how many things have each.
"use strict";

(function () {
  // Whole days since 1970 of a calendar day; the same in every time zone and across changes of the clock.
  function dayNumber(year, month, day) {
    return Date.UTC(year, month - 1, day) / 86400000;
  }

  function parsed(text) {
    const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text || "");
    return parts ? dayNumber(Number(parts[1]), Number(parts[2]), Number(parts[3])) : null;
  }

  function today() {
    const asked = parsed(new URLSearchParams(window.location.search).get("today"));
    const now = new Date();
    return asked === null ? dayNumber(now.getFullYear(), now.getMonth() + 1, now.getDate()) : asked;
  }

  function days(count) {
    return count === 1 ? "1 day" : count + " days";
  }

  // The marked day itself still holds.
  function words(left, valid) {
    if (left < 0) {
      return (valid ? "out of date by " : "overdue by ") + days(-left);
    }
    if (left === 0) {
      return "last day";
    }
    return valid ? days(left) + " left" : "due in " + days(left);
  }

  const WEEKS = 21;

  function counted(list, now) {
    let late = 0;
    let soon = 0;
    for (const entry of list.split(" ")) {
      const [day, count] = entry.split(":");
      const left = parsed(day) - now;
      late += left < 0 ? Number(count) : 0;
      soon += left >= 0 && left <= WEEKS ? Number(count) : 0;
    }
    return late + " overdue, " + soon + " more within " + days(WEEKS);
  }

  function noted(mark, words, late) {
    const note = document.createElement("span");
    note.className = late ? "today late" : "today";
    note.textContent = "today: " + words;
    mark.after(" ", note);
  }

  const now = today();
  for (const mark of document.querySelectorAll("[data-tally]")) {
    const words = counted(mark.getAttribute("data-tally"), now);
    noted(mark, words, !words.startsWith("0 "));
  }
  for (const mark of document.querySelectorAll("[data-due], [data-until]")) {
    const valid = mark.hasAttribute("data-until");
    const due = parsed(mark.getAttribute(valid ? "data-until" : "data-due"));
    if (due !== null) {
      noted(mark, words(due - now, valid), due < now);
    }
  }
})();
