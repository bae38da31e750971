// Finds pages by the words that stand on them. search.js loads this file when somebody first types.
"use strict";

(function (handbook) {
  const IN_TITLE = 8;
  const IN_HEAD = 3;
  const ON_PAGE = 1;
  const AS_BEGUN = 0.7;
  const BY_MEANING = 0.8;
  const SAID_IN_TITLE = 40;
  const SAID_IN_HEAD = 20;
  const SAID_ANYWAY = new Set(
    ("a after all an and any are at be by can do does for from go goes going has have how i if in is it its my of on or " +
      "our s should that the there this to was we what when where which why will with you your " +
      "al como con cuando de del donde el en es hago hay la las lo los mi para por que se si su tengo un una y " +
      "das der die du ich ist man mit und von wann was wenn wie wo zu").split(" ")
  );
  // Of English, Spanish, Portuguese and German, longer ones first.
  const ENDINGS = new RegExp(
    "(?:ations?|ators?|at(?:e|es|ed|ing)|acion(?:es)?|acao|acoes|ador(?:as?|es)?|[ai]d[ao]s?|ungen|ung|ings?|ies|" +
      "[aei]r|en|ed|es|as|os|s|e|y|a|o)$"
  );
  const SHORTEST_STEM = 3;
  const LONGEST_HEAD = 60;
  const OTHER_LANGUAGE = 0.75;

  function folded(text) {
    return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().replace(/ß/g, "ss");
  }

  function wordsOf(text) {
    return folded(text).match(/[\p{L}\p{N}]+/gu) || [];
  }

  // What is left of a word without its ending: test of tests and testing, stop of stopped.
  function stem(word) {
    const left = word.replace(ENDINGS, "").replace(/([bdgmnprt])\1$/, "$1");
    return left.length >= SHORTEST_STEM ? left : word;
  }

  // The pages of a list of runs: how many are left out before each run, and how many more follow its first.
  function unpacked(runs) {
    const pages = [];
    let page = 0;
    for (const run of runs.split(" ")) {
      const [gap, more] = run.split("-").map((digits) => parseInt(digits, 36));
      page += gap;
      for (const end = page + (more || 0); page <= end; page += 1) {
        pages.push(page);
      }
    }
    return pages;
  }

  // Words in one kind of place, each with its pages, also by what is left of them without their endings.
  function places(lists) {
    const stems = new Map();
    for (const word of lists.keys()) {
      const left = stem(word);
      stems.set(left, (stems.get(left) || []).concat(word));
    }
    return { words: [...lists.keys()].sort(), lists, stems };
  }

  function gathered(texts) {
    const lists = new Map();
    for (const [text, pages] of texts) {
      for (const word of new Set(wordsOf(text))) {
        lists.set(word, (lists.get(word) || []).concat(pages));
      }
    }
    return places(lists);
  }

  function listed(place, word) {
    const pages = place.lists.get(word);
    if (typeof pages !== "string") {
      return pages;
    }
    place.lists.set(word, unpacked(pages));
    return place.lists.get(word);
  }

  // Where words that begin so stand in a sorted list.
  function begun(words, start) {
    let low = 0;
    let high = words.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (words[middle] < start) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    let end = low;
    while (end < words.length && words[end].startsWith(start)) {
      end += 1;
    }
    return words.slice(low, end);
  }

  function raise(found, page, weight) {
    if (weight > (found.get(page) || 0)) {
      found.set(page, weight);
    }
  }

  function look(place, part, weight, found) {
    for (const word of place.stems.get(stem(part)) || []) {
      for (const page of listed(place, word)) {
        raise(found, page, weight);
      }
    }
    for (const word of part.length < SHORTEST_STEM ? [] : begun(place.words, part)) {
      for (const page of listed(place, word)) {
        raise(found, page, word === part ? weight : weight * AS_BEGUN);
      }
    }
  }

  // A title or heading, and what it is compared by.
  function told(text) {
    const words = wordsOf(text);
    return { text, spoken: " " + words.join(" ") + " ", stems: new Set(words.map(stem)) };
  }

  handbook.take("words-code", function (data, spellings) {
    const pages = data.pages.map(([rank, title, path]) => ({
      ...told(title), kind: data.kinds[rank], rank, path, lang: (/^([a-z]{2})\//.exec(path) || ["", "en"])[1]
    }));
    const heads = data.heads.map(([text, anchor, runs]) => ({ ...told(text), anchor, pages: unpacked(runs) }));
    const onPages = places(new Map(data.words.split(";").filter(Boolean).map((entry) => entry.split("="))));
    const inTitles = gathered(pages.map((page, number) => [page.text, [number]]));
    const inHeads = gathered(heads.map((head) => [head.text, head.pages]));
    const phrases = Object.entries(data.asked).filter(([words]) => words.includes(" "));
    const asked = new Map();
    for (const [word, meant] of Object.entries(data.asked)) {
      asked.set(stem(word), ((asked.get(stem(word)) || "") + " " + meant).trim());
    }
    const headsOf = pages.map(() => []);
    for (const head of heads.filter((one) => one.text.length <= LONGEST_HEAD)) {
      head.pages.forEach((page) => headsOf[page].push(head));
    }

    const known = new Map();

    // Pages that have one word, by how well: in the title, in a heading, on the page.
    function having(word) {
      if (!known.has(word)) {
        const found = new Map();
        look(onPages, word, ON_PAGE, found);
        look(inHeads, word, IN_HEAD, found);
        look(inTitles, word, IN_TITLE, found);
        known.set(word, found);
      }
      return known.get(word);
    }

    // Pages that have all words of one spelling, as well as the worst of them.
    function spelledSo(spelling) {
      const [first, ...others] = wordsOf(spelling).map(having);
      const found = new Map();
      for (const [page, weight] of first || []) {
        const worst = Math.min(weight, ...others.map((other) => other.get(page) || 0));
        if (worst > 0) {
          found.set(page, worst);
        }
      }
      return found;
    }

    function answering(part) {
      const found = new Map(having(part));
      const meant = (asked.get(stem(part)) || "").split(" ").concat(spellings.get(part) || "");
      for (const spelling of meant.filter(Boolean)) {
        for (const [page, weight] of spelledSo(spelling)) {
          raise(found, page, weight * BY_MEANING);
        }
      }
      return found;
    }

    // Raises pages whose title or heading says the question as it stands.
    function said(scores, spoken) {
      const raised = new Map();
      for (const head of heads.filter((one) => one.spoken.includes(spoken))) {
        head.pages.forEach((page) => raised.set(page, SAID_IN_HEAD));
      }
      pages.forEach((page, number) => page.spoken.includes(spoken) && raised.set(number, SAID_IN_TITLE));
      raised.forEach((more, page) => scores.set(page, (scores.get(page) || 0) + more));
    }

    // The language whose pages have most words of a question; of several alike that of the page it is asked on.
    function languageOf(question) {
      const here = document.documentElement.lang;
      const counts = new Map([[here, 0.5]]);
      for (const word of question) {
        const having = [...(listed(onPages, word) || []), ...(inTitles.lists.get(word) || [])];
        new Set(having.map((page) => pages[page].lang)).forEach((lang) => counts.set(lang, (counts.get(lang) || 0) + 1));
      }
      return [...counts.keys()].reduce((best, lang) => (counts.get(lang) > counts.get(best) ? lang : best));
    }

    function held(place, parts) {
      return parts.filter((part) => place.spoken.includes(" " + part) || place.stems.has(stem(part))).length;
    }

    // The short heading of a page that holds most of the question, where that is more than its title holds.
    function bestHead(number, parts) {
      let best = null;
      let most = held(pages[number], parts);
      for (const head of headsOf[number]) {
        const count = held(head, parts);
        if (count > most) {
          [best, most] = [head, count];
        }
      }
      return best;
    }

    function shown(number, parts) {
      const page = pages[number];
      const head = bestHead(number, parts);
      const path = head && head.anchor && !page.path.includes("#") ? page.path + "#" + head.anchor : page.path;
      return { kind: page.kind + (head ? ": " + head.text : ""), title: page.text, path, page: page.path };
    }

    // Pages for a question, the best first: those with most of its words, and those with half whose titles have some.
    return function (text, most) {
      const question = wordsOf(text);
      const spoken = " " + question.join(" ");
      const meanings = phrases.filter(([phrase]) => (spoken + " ").includes(" " + phrase + " ")).map(([, meant]) => meant);
      const plain = question.filter((word) => word.length > 1 && /\p{L}/u.test(word) && !SAID_ANYWAY.has(word));
      const parts = [plain, meanings.flatMap(wordsOf), question].find((words) => words.length) || [];
      const scores = new Map();
      const counts = new Map();
      for (const part of parts) {
        const found = answering(part);
        const rare = Math.log(1 + pages.length / found.size);
        for (const [page, weight] of found) {
          scores.set(page, (scores.get(page) || 0) + weight * rare);
          counts.set(page, (counts.get(page) || 0) + 1);
        }
      }
      const wanted = Math.max(0, ...counts.values());
      for (const [page, count] of counts) {
        if (count * 2 < parts.length || (count < wanted && held(pages[page], parts) === 0)) {
          scores.delete(page);
        } else {
          scores.set(page, (scores.get(page) * count) / wanted);
        }
      }
      if (question.length > 1) {
        said(scores, spoken);
      }
      meanings.forEach((meant) => said(scores, " " + meant));
      const asker = languageOf(question);
      const worth = (page) =>
        (scores.get(page) / (1 + pages[page].rank / 3)) * (pages[page].lang === asker ? 1 : OTHER_LANGUAGE);
      const byName = (one, other) => (pages[one].spoken < pages[other].spoken ? -1 : 1);
      const best = [...scores.keys()].sort((one, other) => worth(other) - worth(one) || byName(one, other));
      const all = best.map((page) => pages[page].path);
      return { pages: best.slice(0, most).map((page) => shown(page, parts)), all };
    };
  });
})(window.handbook);
