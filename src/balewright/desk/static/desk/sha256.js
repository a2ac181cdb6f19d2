// SHA-256 (FIPS 180-4) of bytes, as hex. The browser's own is there under https alone, and a photo
// needs its name also where a page was opened by plain http or from a file.
"use strict";

const sha256 = (() => {
  const first32 = (root) => {
    const found = [];
    for (let prime = 2; found.length < 64; prime += 1) {
      let isPrime = true;
      for (let divisor = 2; divisor * divisor <= prime; divisor += 1) if (prime % divisor === 0) isPrime = false;
      if (isPrime) found.push(fraction(prime, root));
    }
    return found;
  };
  // The first 32 bits of the fraction of a root, in whole numbers: no rounding may touch them.
  const fraction = (prime, root) => {
    const power = BigInt(root);
    const wanted = BigInt(prime) << (32n * power);
    let low = 0n;
    let high = BigInt(prime) << 32n;
    while (low < high) {
      const middle = (low + high + 1n) >> 1n;
      if (middle ** power <= wanted) low = middle;
      else high = middle - 1n;
    }
    return Number(low & 0xffffffffn);
  };
  const rounds = first32(3);
  const start = first32(2).slice(0, 8);
  const turn = (word, by) => (word >>> by) | (word << (32 - by));

  function block(view, at, state) {
    const w = new Uint32Array(64);
    for (let n = 0; n < 16; n += 1) w[n] = view.getUint32(at + 4 * n);
    for (let n = 16; n < 64; n += 1) {
      const s0 = turn(w[n - 15], 7) ^ turn(w[n - 15], 18) ^ (w[n - 15] >>> 3);
      const s1 = turn(w[n - 2], 17) ^ turn(w[n - 2], 19) ^ (w[n - 2] >>> 10);
      w[n] = w[n - 16] + s0 + w[n - 7] + s1;
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let n = 0; n < 64; n += 1) {
      const t1 = (h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + rounds[n] + w[n]) | 0;
      const t2 = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + t1) | 0, c, b, a, (t1 + t2) | 0];
    }
    [a, b, c, d, e, f, g, h].forEach((word, n) => (state[n] = (state[n] + word) | 0));
  }

  return (bytes) => {
    const length = Math.ceil((bytes.length + 9) / 64) * 64;
    const whole = new Uint8Array(length);
    whole.set(bytes);
    whole[bytes.length] = 0x80;
    const view = new DataView(whole.buffer);
    view.setUint32(length - 8, Math.floor(bytes.length / 0x20000000));
    view.setUint32(length - 4, (bytes.length * 8) >>> 0);
    const state = [...start];
    for (let at = 0; at < length; at += 64) block(view, at, state);
    return state.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
  };
})();
