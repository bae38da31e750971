// Loads a page again when the site behind it was made anew, and shows why when it could not be.
(() => {
  "use strict";
  const bar = document.createElement("pre");
  bar.setAttribute("role", "status");
  bar.style.cssText =
    "position:sticky;top:0;z-index:9;margin:0;padding:.5rem 1rem;max-height:60vh;overflow:auto;white-space:pre-wrap;" +
    "background:#fff;color:#000;border-bottom:4px double #000;font:14px/1.4 monospace";
  bar.hidden = true;
  document.body.prepend(bar);
  let site = null;

  const show = (text) => {
    bar.hidden = !text;
    if (bar.textContent !== text) bar.textContent = text;
  };

  const ask = async () => {
    try {
      const told = await (await fetch("/~preview/state")).json();
      if (site !== null && told.site !== site) return location.reload();
      site = told.site;
      const head = "The last good site stands below. It could not be made anew:\n\n";
      show(told.fault ? head + told.fault : told.busy ? "building …" : "");
    } catch {
      show("The preview has ended.");
    }
    setTimeout(ask, 500);
  };
  ask();
})();
