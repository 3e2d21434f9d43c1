// Beside the page: takes the microphone down to 16 kHz, mono, 16 bit, in pieces of 50 ms. What is
// too high for 16 kHz is filtered out first (a sinc in a Hann window), else it would come back low.

const RATE = 16000;
const PIECE = 800;
const ZEROS = 12; // crossings of the sinc on each side
const FINE = 64; // points of its table a sample
const PASSED = 0.92; // of what 16 kHz can hold
const RING = 8192;

class Ear extends AudioWorkletProcessor {
  constructor() {
    super();
    this.step = sampleRate / RATE;
    const width = this.step > 1 ? PASSED / this.step : 1;
    this.half = Math.ceil(ZEROS / width);
    this.table = Float32Array.from({ length: this.half * FINE + 2 }, (_, index) => {
      const at = index / FINE;
      const turn = Math.PI * width * at;
      const sinc = at ? Math.sin(turn) / turn : 1;
      return at < this.half ? width * sinc * 0.5 * (1 + Math.cos((Math.PI * at) / this.half)) : 0;
    });
    this.ring = new Float32Array(RING);
    this.came = 0;
    this.made = 0;
    this.piece = new Int16Array(PIECE);
    this.filled = 0;
  }

  process([channels]) {
    for (const sample of channels[0] ?? []) {
      this.ring[this.came % RING] = sample;
      this.came += 1;
    }
    while (this.made * this.step + this.half < this.came) {
      this.put(this.valueAt(this.made * this.step));
      this.made += 1;
    }
    return true;
  }

  valueAt(place) {
    let sum = 0;
    const last = Math.floor(place) + this.half;
    for (let index = Math.max(0, last - 2 * this.half + 1); index <= last; index += 1) {
      const at = Math.abs(index - place) * FINE;
      const low = Math.floor(at);
      if (low > this.half * FINE) continue;
      const weight = this.table[low] + (at - low) * (this.table[low + 1] - this.table[low]);
      sum += this.ring[index % RING] * weight;
    }
    return sum;
  }

  put(value) {
    this.piece[this.filled] = Math.round(32767 * Math.min(1, Math.max(-1, value)));
    this.filled += 1;
    if (this.filled < PIECE) return;
    this.port.postMessage(this.piece.buffer, [this.piece.buffer]);
    this.piece = new Int16Array(PIECE);
    this.filled = 0;
  }
}

registerProcessor("ear", Ear);
