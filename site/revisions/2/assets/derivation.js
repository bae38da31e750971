// Opens the derivation of a figure in place: what it was made from, by which formula, how it was rounded, from which
// source and line. Without this file the figure's link leads to the page that tells the same.
"use strict";

(function (handbook) {
  const RECORD_ROWS = 40;
  let dialog = null;
  let trail = [];
  let pages = null;

  // The group of a key, whose derivations are one file: its first two parts, or the first of two; records by their rows.
  function groupOf(key) {
    const parts = key.split(".");
    if (parts[0] === "record" && parts.length > 3 && /^[0-9]+$/.test(parts[2])) {
      return parts[0] + "." + parts[1] + ".rows-" + (Math.floor((parts[2] - 1) / RECORD_ROWS) * RECORD_ROWS + 1);
    }
    return parts.slice(0, parts.length > 2 ? 2 : 1).join(".");
  }

  function pageOf(key) {
    return new URL(encodeURI(handbook.pageOf(key, pages)), handbook.home).href;
  }

  function made(tag, cls, ...content) {
    const element = document.createElement(tag);
    if (cls) {
      element.className = cls;
    }
    element.append(...content);
    return element;
  }

  function link(href, ...content) {
    const element = made("a", "", ...content);
    element.href = href;
    return element;
  }

  // A link to another figure, which opens in the same place.
  function keyLink(key) {
    const element = link(pageOf(key), made("code", "", key));
    element.dataset.key = key;
    return element;
  }

  function facts(told) {
    const rows = [
      ["Printed", told.printed],
      ["Exact value", told.exact],
      ["Rounding", told.rounding],
      ["Formula", told.formula],
      ["Source", told.source],
      ["Assumes", told.note],
      ["Read in its source", told.unread ? "no: it rests on a value that was not read in its source" : "yes"],
    ];
    const list = made("dl", "facts");
    for (const [name, text] of rows) {
      if (text) {
        list.append(made("dt", "", name), made("dd", "", text));
      }
    }
    return list;
  }

  function part(title, lines, all) {
    if (!lines || !lines.length) {
      return [];
    }
    const list = made("ul", "", ...lines.map((line) => made("li", "", ...line)));
    const more = all > lines.length ? [made("p", "", "and " + (all - lines.length) + " more; the ledger names all.")] : [];
    return [made("h3", "", title), list, ...more];
  }

  function madeFrom(rows) {
    return (rows || []).map(function ([label, value, key, found, read]) {
      const line = [label + ": ", made("strong", "", value)];
      if (key) {
        line.push(" ", keyLink(key));
      }
      if (found) {
        line.push(" ", made("span", "place", found));
      }
      if (!read) {
        line.push(" (not read in its source)");
      }
      return line;
    });
  }

  function fill(key, told) {
    const body = dialog.querySelector(".body");
    const head = made("h2", "", told ? told.label : key);
    head.id = "derivation-title";
    head.tabIndex = -1;
    dialog.querySelector("a.whole").href = pageOf(key);
    if (!told) {
      body.replaceChildren(head, made("p", "", "The derivation cannot be read from here; see its own page."));
      return;
    }
    body.replaceChildren(
      head,
      made("p", "key", made("code", "", key)),
      facts(told),
      ...part("Made from", madeFrom(told.from)),
      ...part("Used by", (told.into || []).map((user) => [keyLink(user)]), told["into-all"]),
      ...part("Printed on", (told.on || []).map(([title, path]) => [link(new URL(path, handbook.home).href, title)]), told["on-all"])
    );
    body.scrollTop = 0;
    head.focus();
  }

  function show(key) {
    const back = dialog.querySelector("button.back");
    back.hidden = trail.length < 2;
    const group = groupOf(key);
    handbook.withPages(function (found) {
      pages = found;
      handbook.load("derivations:" + group, "assets/derivations/" + encodeURI(group) + ".js", function (all) {
        if (trail[trail.length - 1] === key) {
          fill(key, all ? all[key] : null);
        }
      });
    });
  }

  function button(cls, text, act) {
    const element = made("button", cls, text);
    element.type = "button";
    element.addEventListener("click", act);
    return element;
  }

  function build() {
    dialog = made("dialog", "derivation");
    dialog.setAttribute("aria-labelledby", "derivation-title");
    const back = button("back", "Back", function () {
      trail.pop();
      show(trail[trail.length - 1]);
    });
    const whole = link("", "On a page of its own");
    whole.classList.add("whole");
    const bar = made("div", "bar", back, whole, button("close", "Close", () => dialog.close()));
    dialog.append(bar, made("div", "body", made("h2", "", "")));
    dialog.addEventListener("click", function (event) {
      const inner = plainClick(event) ? event.target.closest("a[data-key]") : null;
      if (inner) {
        event.preventDefault();
        trail.push(inner.dataset.key);
        show(inner.dataset.key);
      } else if (event.target === dialog) {
        dialog.close();
      }
    });
    document.body.append(dialog);
  }

  function plainClick(event) {
    return !event.defaultPrevented && event.button === 0 && !(event.ctrlKey || event.metaKey || event.shiftKey || event.altKey);
  }

  // Figures on a page of derivations lead to each other on that page.
  function keyOf(anchor) {
    const there = new URL(anchor.href);
    return there.pathname === window.location.pathname ? "" : decodeURIComponent(there.hash.slice(1));
  }

  if (typeof HTMLDialogElement === "undefined" || !handbook || !handbook.load) {
    return;
  }
  document.addEventListener("click", function (event) {
    const anchor = plainClick(event) ? event.target.closest("a.fig") : null;
    const key = anchor ? keyOf(anchor) : "";
    if (!key) {
      return;
    }
    event.preventDefault();
    if (!dialog) {
      build();
    }
    trail = [key];
    dialog.showModal();
    show(key);
  });
})(window.handbook);
