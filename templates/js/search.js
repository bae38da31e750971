// Finds things of the handbook as the reader types, from an index that is loaded when it is first asked for.
// Without this file the search form leads to the index from A to Z.
"use strict";

window.handbook = window.handbook || {};

(function (handbook) {
  const SHOWN = 12;
  const SHOWN_ON_PAGE = 200;
  const home = new URL("..", document.currentScript.src);
  const waiting = {};

  // ---- files with data: each calls handbook.take(name, value) ----

  handbook.take = function (name, value) {
    const entry = waiting[name] || (waiting[name] = { done: [] });
    entry.value = value;
    for (const tell of entry.done.splice(0)) {
      tell(value);
    }
  };

  // Loads a file of the site once; `done` is given its value, or null when the file cannot be read.
  handbook.load = function (name, path, done) {
    const entry = waiting[name] || (waiting[name] = { done: [] });
    if ("value" in entry) {
      done(entry.value);
      return;
    }
    entry.done.push(done);
    if (!entry.asked) {
      entry.asked = true;
      const script = document.createElement("script");
      script.src = new URL(path, home).href;
      script.addEventListener("error", function () {
        handbook.take(name, null);
      });
      document.head.append(script);
    }
  };

  handbook.home = home;

  // ---- the index ----

  function folded(text) {
    return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }

  // Every thing and every figure as one flat list of [kind, title, path, folded title, all folded words].
  function unpacked(index) {
    const things = index.entries.map(function (row) {
      const [kind, title, words] = row;
      const start = index.kinds[kind][1];
      const path = (start ? start + "/" : "") + (row.length > 3 ? row[3] : title + ".html");
      const name = folded(title);
      return { kind: index.kinds[kind][0], title, path, also: words, name, words: name + "|" + folded(words), rank: kind };
    });
    for (const [group, list] of index.figures) {
      for (const tail of index.tails[list].split(" ")) {
        const key = group + "." + tail;
        things.push({
          kind: "Figure", title: key, path: "figures/" + group + ".html#" + key, also: "", name: key, words: key, rank: 99,
        });
      }
    }
    return things;
  }

  // How well a thing answers: smaller is better, -1 is not at all. Every word of the question must stand in it.
  function quality(thing, question, parts) {
    for (const part of parts) {
      if (!thing.words.includes(part)) {
        return -1;
      }
    }
    if (thing.name === question || ("|" + thing.words + "|").includes("|" + question + "|")) {
      return 0;
    }
    if (thing.name.startsWith(question)) {
      return 1;
    }
    return ("|" + thing.words).includes("|" + question) || thing.name.includes(" " + question) ? 2 : 3;
  }

  let things = null;

  // A figure comes after the things, unless the question reads as a key.
  function place(thing, good, question) {
    return thing.kind === "Figure" && !question.includes(".") ? good + 4 : good;
  }

  // Gives what was found, best first, how many things were looked at, and how long it took.
  function answer(text) {
    const started = performance.now();
    const question = folded(text).trim();
    const parts = question.split(/\s+/);
    const found = [];
    for (const thing of question ? things : []) {
      const good = quality(thing, question, parts);
      if (good >= 0) {
        found.push([place(thing, good, question), thing]);
      }
    }
    found.sort(function (a, b) {
      return a[0] - b[0] || a[1].rank - b[1].rank || (a[1].name < b[1].name ? -1 : 1);
    });
    return { found: found.map((pair) => pair[1]), scanned: things.length, took: performance.now() - started };
  }

  handbook.withIndex = function (done) {
    if (things) {
      done(answer);
      return;
    }
    handbook.load("index", "assets/search-index.js", function (index) {
      things = things || (index ? unpacked(index) : []);
      done(answer);
    });
  };

  function element(tag, cls, text) {
    const made = document.createElement(tag);
    if (cls) {
      made.className = cls;
    }
    if (text) {
      made.textContent = text;
    }
    return made;
  }

  function address(thing) {
    return new URL(thing.path.split("#").map(encodeURI).join("#"), home).href;
  }

  function counted(count, shown) {
    if (count === 0) {
      return "Nothing found";
    }
    return (count === 1 ? "1 found" : count + " found") + (count > shown ? ", the first " + shown + " are listed" : "");
  }

  // ---- the field in the header: a combobox with a list below it ----

  function field(form) {
    const input = form.querySelector("input");
    const box = element("div", "answers");
    const list = element("ul", "");
    const status = element("p", "count");
    let options = [];
    let active = -1;
    let dismissed = "";

    list.id = "search-answers";
    list.setAttribute("role", "listbox");
    list.setAttribute("aria-label", "Found");
    list.hidden = true;
    status.setAttribute("role", "status");
    input.setAttribute("role", "combobox");
    input.setAttribute("aria-autocomplete", "list");
    input.setAttribute("aria-controls", list.id);
    input.setAttribute("aria-expanded", "false");
    box.append(list, status);
    form.append(box);

    function mark(place) {
      if (options[active]) {
        options[active].setAttribute("aria-selected", "false");
      }
      active = place;
      if (options[active]) {
        options[active].setAttribute("aria-selected", "true");
        options[active].scrollIntoView({ block: "nearest" });
        input.setAttribute("aria-activedescendant", options[active].id);
      } else {
        input.removeAttribute("aria-activedescendant");
      }
    }

    function close() {
      mark(-1);
      options = [];
      list.hidden = true;
      list.replaceChildren();
      status.textContent = "";
      input.setAttribute("aria-expanded", "false");
    }

    function option(thing, number) {
      const made = element("li", "answer");
      made.id = "search-answer-" + number;
      made.setAttribute("role", "option");
      made.setAttribute("aria-selected", "false");
      made.dataset.href = address(thing);
      made.append(element("span", "name", thing.title), " ", element("span", "kind", thing.kind));
      made.addEventListener("mousedown", function (event) {
        event.preventDefault();
      });
      made.addEventListener("click", function () {
        window.location.assign(made.dataset.href);
      });
      return made;
    }

    function show(result) {
      options = result.found.slice(0, SHOWN).map(option);
      active = -1;
      input.removeAttribute("aria-activedescendant");
      list.replaceChildren(...options);
      list.hidden = options.length === 0;
      status.textContent = counted(result.found.length, SHOWN);
      input.setAttribute("aria-expanded", String(options.length > 0));
    }

    function update() {
      handbook.withIndex(function (ask) {
        if (input.value.trim() && input.value !== dismissed && document.activeElement === input) {
          show(ask(input.value));
        } else if (!input.value.trim()) {
          close();
        }
      });
    }

    input.addEventListener("focus", function () {
      handbook.withIndex(function () {});
    });
    input.addEventListener("input", function () {
      dismissed = "";
      update();
    });
    input.addEventListener("blur", close);
    input.addEventListener("keydown", function (event) {
      if (event.isComposing) {
        return;
      }
      if (event.key === "ArrowDown" || event.key === "ArrowUp") {
        event.preventDefault();
        if (!options.length) {
          dismissed = "";
          update();
          return;
        }
        const step = event.key === "ArrowDown" ? 1 : -1;
        const places = options.length + 1;
        mark(((active + 1 + step + places) % places) - 1);
      } else if (event.key === "Enter" && options[active]) {
        event.preventDefault();
        window.location.assign(options[active].dataset.href);
      } else if (event.key === "Escape") {
        event.preventDefault();
        if (list.hidden && !status.textContent) {
          input.value = "";
        }
        dismissed = input.value;
        close();
      }
    });
  }

  // ---- the index page, asked with ?q=: the answers before the list of everything ----

  function page(form) {
    const asked = (new URLSearchParams(window.location.search).get("q") || "").trim();
    const place = document.querySelector("main h1");
    if (!asked || !place || window.location.pathname !== new URL("search.html", home).pathname) {
      return;
    }
    form.querySelector("input").value = asked;
    handbook.withIndex(function (ask) {
      const result = ask(asked);
      const part = element("section", "found");
      const head = element("h2", "", "Found for “" + asked + "”");
      const list = element("ul", "");
      for (const thing of result.found.slice(0, SHOWN_ON_PAGE)) {
        const line = element("li", "");
        const link = element("a", "ref", thing.title);
        link.href = address(thing);
        line.append(link, " ", element("span", "kind", thing.kind));
        list.append(line);
      }
      const status = element("p", "", counted(result.found.length, SHOWN_ON_PAGE) + ".");
      status.setAttribute("role", "status");
      part.append(head, status, list);
      place.after(part);
    });
  }

  const form = document.querySelector("form.search");
  if (form) {
    field(form);
    page(form);
  }
})(window.handbook);
