// Runs beside the sound: 16-bit blocks, each with its peak and the moment its last sample came.
const SIZE = 2048;

class Capture extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Int16Array(SIZE);
    this.filled = 0;
    this.peak = 0;
  }

  process([input]) {
    const sound = input[0];
    if (!sound) return true;
    for (const value of sound) {
      const sample = Math.max(-32768, Math.min(32767, Math.round(value * 32768)));
      this.block[this.filled++] = sample;
      this.peak = Math.max(this.peak, Math.abs(sample));
      if (this.filled === SIZE) this.give();
    }
    return true;
  }

  give() {
    const samples = this.block;
    this.port.postMessage({ samples, peak: this.peak, at: Date.now() }, [samples.buffer]);
    this.block = new Int16Array(SIZE);
    this.filled = 0;
    this.peak = 0;
  }
}

registerProcessor("capture", Capture);
