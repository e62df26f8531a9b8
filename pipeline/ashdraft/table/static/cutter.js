// From blocks to pieces of 6 to 10 seconds, parted where it is quiet. Times are milliseconds
// since 1970; a run is sound without a gap, and every piece of it begins where the last ended.
const SHORTEST = 6;
const LONGEST = 10;
const BIN = 0.1;
const JUMP = 1000;

export class Cutter {
  constructor(give) {
    this.give = give;
    this.blocks = [];
    this.length = 0;
    this.begins = null;
    this.rate = 0;
  }

  /** Take a block whose last sample was heard at `at`. */
  add(samples, rate, at) {
    const arrived = at - (samples.length / rate) * 1000;
    if (this.begins !== null) {
      const expected = this.begins + (this.length / this.rate) * 1000;
      if (rate !== this.rate || Math.abs(arrived - expected) > JUMP) this.end();
    }
    if (this.begins === null) {
      this.begins = arrived;
      this.rate = rate;
    }
    this.blocks.push(samples);
    this.length += samples.length;
    if (this.length >= LONGEST * rate) this.take(this.quietest());
  }

  /** End the run and give what is left of it. */
  end() {
    if (this.length) this.take(this.length);
    this.begins = null;
  }

  whole() {
    const sound = new Int16Array(this.length);
    let at = 0;
    for (const block of this.blocks) {
      sound.set(block, at);
      at += block.length;
    }
    return sound;
  }

  quietest() {
    const size = Math.floor(BIN * this.rate);
    const first = SHORTEST * this.rate;
    const sound = this.whole();
    let best = first;
    let least = Infinity;
    for (let from = first; from + size <= LONGEST * this.rate; from += size) {
      let sum = 0;
      for (let i = from; i < from + size; i++) sum += sound[i] * sound[i];
      if (sum < least) {
        least = sum;
        best = from + (size >> 1);
      }
    }
    return best;
  }

  take(count) {
    const sound = this.whole();
    const begins = this.begins;
    this.begins += (count / this.rate) * 1000;
    const rest = sound.slice(count);
    this.blocks = rest.length ? [rest] : [];
    this.length = rest.length;
    this.give(sound.slice(0, count), this.rate, begins);
  }
}
