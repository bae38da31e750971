// Finds things of the handbook as the reader types, from an index that is loaded when it is first asked for.
// Without this file the search form leads to the index from A to Z.
"use strict";

window.handbook = window.handbook || {};

(function (handbook) {
  const SHOWN = 12;
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

  const LIMIT = 200;
  const WORSE = [0, 1, 2, 3];
  const DECIDING = ["setpoint", "limit", "reading", "response", "hose", "cylinder", "unit"];

  // The page that tells the derivation of a key. Of a family of keys `pages` has the first key and the page of each part,
  // unless it is one page of its own.
  handbook.pageOf = function (key, pages) {
    const family = key.split(".")[0];
    const parts = ((pages && pages[family]) || []).filter(([first]) => first <= key);
    return "figures/" + (parts.length ? parts[parts.length - 1][1] : family) + ".html#" + key;
  };

  handbook.withPages = function (done) {
    handbook.load("figure-pages", "assets/figure-pages.js", done);
  };

  function unpackedThings(index) {
    return index.entries.map(function (row) {
      const [kind, title, words] = row;
      const start = index.kinds[kind][1];
      const path = (start ? start + "/" : "") + (row.length > 3 ? row[3] : title + ".html");
      const name = folded(title);
      return { kind: index.kinds[kind][0], title, path, name, words: name + "|" + folded(words), rank: kind };
    });
  }

  // Lists of endings of keys, each with the words of its label.
  function unpackedTails(lists) {
    return lists.map((list) =>
      list.split(";").map(function (entry) {
        const [tail, words] = entry.split("=");
        return { tail, words: tail + " " + (words || "") };
      })
    );
  }

  function byRank(one, other) {
    return one.rank - other.rank || (one.name < other.name ? -1 : 1);
  }

  // Figures by the beginning of their keys: thousands of beginnings, but few different lists of endings.
  function unpackedGroups(index) {
    const tails = unpackedTails(index.tails);
    const abouts = new Map(Object.entries(index.about));
    const groups = [];
    for (const [first, list, seconds] of index.figures) {
      for (const second of seconds.split(" ")) {
        const about = abouts.get(second);
        const name = second ? first + "." + second : first;
        const rank = DECIDING.includes(first) ? DECIDING.indexOf(first) : DECIDING.length;
        groups.push({ name, words: about ? name + " " + about : name, tails: tails[list], rank });
      }
    }
    return groups.sort(byRank);
  }

  function unpackedRecords(records) {
    const tails = unpackedTails(records.tails);
    const groups = [];
    for (const [file, runs] of records.files) {
      let row = 1;
      for (let place = 0; place < runs.length; place += 3) {
        row += runs[place];
        for (const end = row + runs[place + 1]; row < end; row += 1) {
          const name = "record." + file + "." + row;
          groups.push({ name, words: name, tails: tails[runs[place + 2]] });
        }
      }
    }
    return groups;
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

  // What of the question is left to the endings of a group: for each word that its beginning lacks, the word and what
  // an ending must begin with where the word runs over the dot between them.
  function leftOver(group, parts) {
    const left = [];
    for (const spelled of parts) {
      if (spelled.some((part) => group.words.includes(part))) {
        continue;
      }
      const over = [];
      for (const part of spelled) {
        for (let dot = part.indexOf("."); dot > 0; dot = part.indexOf(".", dot + 1)) {
          if (group.name.endsWith(part.slice(0, dot))) {
            over.push(part.slice(dot + 1));
          }
        }
      }
      left.push({ spelled, over });
    }
    return left;
  }

  function fits(ending, left) {
    return left.every(
      (need) =>
        need.spelled.some((part) => ending.words.includes(part)) || need.over.some((part) => ending.tail.startsWith(part))
    );
  }

  // Words of the question, each with the spelling that keys use for it: h2s is also hydrogen-sulfide.
  function spelled(part, spellings) {
    const other = part.split(".").map((piece) => spellings.get(piece) || piece).join(".");
    return other === part ? [part] : [part, other];
  }

  // Puts the figures that answer into `found`, by how well they do, at most LIMIT of each; gives how many there are
  // and how many were looked at. Endings that many groups share are compared with the question once.
  function figuresFor(groups, question, parts, found) {
    const compared = new Map();
    let count = 0;
    let looked = 0;
    for (const group of groups) {
      const left = leftOver(group, parts);
      const same = left.map((need) => need.spelled[0] + ":" + need.over.join(":")).join("|");
      const kept = compared.get(group.tails) || compared.set(group.tails, new Map()).get(group.tails);
      if (!kept.has(same)) {
        kept.set(same, left.length ? group.tails.filter((ending) => fits(ending, left)) : group.tails);
        looked += left.length ? group.tails.length : 0;
      }
      const good = kept.get(same);
      looked += 1;
      count += good.length;
      if (good.length) {
        list(group, good, question, found);
      }
    }
    return { count, looked };
  }

  function list(group, endings, question, found) {
    const begun = group.name.startsWith(question);
    const rest = question.startsWith(group.name + ".") ? question.slice(group.name.length + 1) : null;
    if (rest === null && found[begun ? 1 : 3].length >= LIMIT) {
      return;
    }
    for (const { tail } of endings) {
      const place = tail === rest ? 0 : begun || (rest !== null && tail.startsWith(rest)) ? 1 : 3;
      if (found[place].length < LIMIT) {
        const key = group.name + "." + tail;
        found[place].push({ kind: "Figure", title: key, path: handbook.pageOf(key, known.pages), name: key });
      }
    }
  }

  let known = null;

  // The first that leads to each page.
  function once(found) {
    const paths = new Set();
    return found.filter(function (thing) {
      const path = thing.page || thing.path;
      return !paths.has(path) && paths.add(path);
    });
  }

  // Gives the best of what was found, how many there are, how many things and beginnings of keys were looked at, and
  // how long it took. First what is called so, then pages that say so, then figures, unless the question reads as a key.
  function answer(text) {
    const started = performance.now();
    const question = folded(text).trim();
    const parts = question.split(/\s+/);
    const things = [[], [], [], []];
    const figures = [[], [], [], []];
    let count = 0;
    let scanned = 0;
    if (question) {
      for (const thing of known.things) {
        const good = quality(thing, question, parts);
        if (good >= 0) {
          things[good].push(thing);
          count += 1;
        }
      }
      const words = parts.map((part) => spelled(part, known.spellings));
      const groups = asksRecords(text) ? known.groups.concat(known.records || []) : known.groups;
      const made = figuresFor(groups, question, words, figures);
      count += made.count;
      scanned = known.things.length + made.looked;
    }
    for (const good of things) {
      good.sort(byRank);
    }
    const asKey = question.includes(".");
    const worded = known.words && !asKey ? known.words(question, LIMIT) : { pages: [], all: [] };
    const paths = new Set([].concat(...things).map((thing) => thing.path));
    count += worded.all.filter((path) => !paths.has(path)).length;
    const [same, begun, ...others] = things;
    const ordered = asKey
      ? WORSE.map((good) => things[good].concat(figures[good]))
      : [same, begun, worded.pages, ...others, ...figures];
    const found = once([].concat(...ordered)).slice(0, LIMIT);
    return { found, count, scanned, took: performance.now() - started };
  }

  // Rows of records are many and rarely asked for, so they are a file of their own.
  function asksRecords(text) {
    return /(^|\s)record(\.|$|\s)/.test(folded(text));
  }

  // Words of pages are loaded when somebody types, with the code that looks for them.
  function withWords(text, done) {
    if (known.words || !text.trim()) {
      done();
      return;
    }
    handbook.load("words-code", "assets/words.js", function (make) {
      handbook.load("words", "assets/search-words.js", function (words) {
        known.words = known.words || (make && words ? make(words, known.spellings) : null);
        done();
      });
    });
  }

  function withRecords(text, done) {
    if (!known.hasRecords || known.records || !asksRecords(text)) {
      done();
      return;
    }
    handbook.load("records", "assets/search-records.js", function (records) {
      known.records = known.records || (records ? unpackedRecords(records) : []);
      done();
    });
  }

  // `done` is given the function that answers, once everything that `text` asks for is loaded.
  handbook.withIndex = function (done, text) {
    handbook.withPages(function (pages) {
      handbook.load("index", "assets/search-index.js", function (index) {
        known = known || {
          pages,
          things: index ? unpackedThings(index) : [],
          groups: index ? unpackedGroups(index) : [],
          spellings: new Map(index ? Object.entries(index.spellings) : []),
          hasRecords: Boolean(index && index.records),
          records: null,
          words: null,
        };
        withWords(text || "", () => withRecords(text || "", () => done(answer)));
      });
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
    box.lang = "en";
    box.dir = "ltr";
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
      status.textContent = counted(result.count, SHOWN);
      input.setAttribute("aria-expanded", String(options.length > 0));
    }

    function update() {
      handbook.withIndex(function (ask) {
        if (input.value.trim() && input.value !== dismissed && document.activeElement === input) {
          show(ask(input.value));
        } else if (!input.value.trim()) {
          close();
        }
      }, input.value);
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
      for (const thing of result.found) {
        const line = element("li", "");
        const link = element("a", "", thing.title);
        link.href = address(thing);
        line.append(link, " ", element("span", "kind", thing.kind));
        list.append(line);
      }
      const status = element("p", "", counted(result.count, result.found.length) + ".");
      status.setAttribute("role", "status");
      part.append(head, status, list);
      place.after(part);
    }, asked);
  }

  const form = document.querySelector("form.search");
  if (form) {
    field(form);
    page(form);
  }
})(window.handbook);
