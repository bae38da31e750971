// Exact rationals and the rounding of the handbook, so that a number made here is the one the handbook would print.
// It knows no gas and no formula; tests compare it with the figures in a real browser.
"use strict";

(function (handbook) {
  const TEN = 10n;
  const THIN_SPACE = "\u202f";

  function gcd(a, b) {
    while (b) {
      [a, b] = [b, a % b];
    }
    return a;
  }

  function size(a) {
    return a < 0n ? -a : a;
  }

  function ratio(top, bottom) {
    const shared = gcd(size(top), size(bottom)) || 1n;
    const sign = bottom < 0n ? -1n : 1n;
    return { top: (sign * top) / shared, bottom: (sign * bottom) / shared };
  }

  // "19/10" or "1.9" as a rational; null for anything else.
  function parsed(text) {
    const found = /^(\d{1,60})\/(\d{1,60})$/.exec(text);
    if (found) {
      return BigInt(found[2]) === 0n ? null : ratio(BigInt(found[1]), BigInt(found[2]));
    }
    const decimal = /^(\d{1,60})(?:\.(\d{1,60}))?$/.exec(text);
    return decimal ? ratio(BigInt(decimal[1] + (decimal[2] || "")), TEN ** BigInt((decimal[2] || "").length)) : null;
  }

  function times(a, b) {
    return ratio(a.top * b.top, a.bottom * b.bottom);
  }

  function over(a, b) {
    return ratio(a.top * b.bottom, a.bottom * b.top);
  }

  function compared(a, b) {
    const difference = a.top * b.bottom - b.top * a.bottom;
    return difference < 0n ? -1 : difference > 0n ? 1 : 0;
  }

  function power(exponent) {
    return exponent < 0 ? ratio(1n, TEN ** BigInt(-exponent)) : ratio(TEN ** BigInt(exponent), 1n);
  }

  // Power of ten of the first significant digit.
  function leading(value) {
    let exponent = value.top.toString().length - value.bottom.toString().length;
    while (compared(power(exponent), value) > 0) {
      exponent -= 1;
    }
    while (compared(power(exponent + 1), value) <= 0) {
      exponent += 1;
    }
    return exponent;
  }

  // `rule` has a direction and either a step or a number of significant digits. Values are not below zero.
  function stepFor(value, rule) {
    if (rule.step) {
      return rule.step;
    }
    return value.top === 0n ? ratio(1n, 1n) : power(leading(value) - rule.digits + 1);
  }

  function rounded(value, step, direction) {
    const steps = over(value, step);
    const down = steps.top / steps.bottom;
    const exact = steps.top % steps.bottom === 0n;
    if (exact || direction === "down") {
      return times(ratio(down, 1n), step);
    }
    if (direction === "up") {
      return times(ratio(down + 1n, 1n), step);
    }
    if (direction === "nearest") {
      return times(ratio((2n * steps.top + steps.bottom) / (2n * steps.bottom), 1n), step);
    }
    throw new Error("no direction " + direction);
  }

  function decimals(step) {
    let places = 0;
    while ((step.top * TEN ** BigInt(places)) % step.bottom !== 0n) {
      places += 1;
      if (places > 60) {
        throw new Error("a step that no decimal can write");
      }
    }
    return places;
  }

  // Groups of three from five digits on, with a thin space.
  function grouped(text) {
    const [whole, part] = text.split(".");
    const spaced = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, THIN_SPACE) : whole;
    return part === undefined ? spaced : spaced + "." + part;
  }

  function written(value, places) {
    const digits = ((value.top * TEN ** BigInt(places)) / value.bottom).toString().padStart(places + 1, "0");
    return grouped(places ? digits.slice(0, -places) + "." + digits.slice(-places) : digits);
  }

  // As many decimals as the value has; for values that end.
  function plain(value) {
    return written(value, decimals(ratio(1n, value.bottom)));
  }

  function capped(value, rule) {
    return Boolean(rule.cap) && compared(value, rule.cap) > 0;
  }

  // The text the handbook prints for a value under a rule.
  function printed(value, rule) {
    if (capped(value, rule)) {
      return "over " + plain(rule.cap);
    }
    const step = stepFor(value, rule);
    return written(rounded(value, step, rule.direction), decimals(step));
  }

  // A rule from the attributes of an element.
  function rule(data) {
    return {
      direction: data.direction,
      step: data.step ? parsed(data.step) : null,
      digits: data.digits ? Number(data.digits) : 0,
      cap: data.cap ? parsed(data.cap) : null,
    };
  }

  // What a person typed: digits with a point or a comma; null for anything else.
  function typed(text) {
    const cleaned = text.replace(/[\s\u00a0\u202f]/g, "").replace(",", ".");
    return /^\d{1,9}(\.\d{0,9})?$/.test(cleaned) ? parsed(cleaned.replace(/\.$/, "")) : null;
  }

  handbook.exact = { parsed, typed, times, over, compared, printed, plain, capped, rule };
})(window.handbook);
