/** A uniform grid over boxes (four numbers each: minX, minY, maxX, maxY): which of them come near a given box. */
export class BoxGrid {
  readonly #box: Float64Array;
  readonly #x: number;
  readonly #y: number;
  readonly #size: number;
  readonly #columns: number;
  readonly #rows: number;
  /** Members of cell c: `#member[#start[c]]` up to `#member[#start[c + 1]]`. */
  readonly #start: Int32Array;
  readonly #member: Int32Array;
  readonly #seen: Int32Array;
  #query = 0;

  constructor(box: Float64Array) {
    const n = box.length / 4;
    let [minX, minY, maxX, maxY, sides] = [Infinity, Infinity, -Infinity, -Infinity, 0];
    for (let i = 0; i < box.length; i += 4) {
      minX = Math.min(minX, box[i]!);
      minY = Math.min(minY, box[i + 1]!);
      maxX = Math.max(maxX, box[i + 2]!);
      maxY = Math.max(maxY, box[i + 3]!);
      sides += box[i + 2]! - box[i]! + (box[i + 3]! - box[i + 1]!);
    }
    const wide = Math.max(maxX - minX, 1e-9);
    const high = Math.max(maxY - minY, 1e-9);
    // A box covers a few cells, and there are no more than some four cells to a box.
    const size = Math.max(sides / (2 * n), Math.sqrt((wide * high) / (4 * n)), (wide + high) / (4 * n + 8));
    this.#box = box;
    this.#x = minX;
    this.#y = minY;
    this.#size = size;
    this.#columns = Math.floor(wide / size) + 1;
    this.#rows = Math.floor(high / size) + 1;
    const start = new Int32Array(this.#columns * this.#rows + 1);
    const each = (put: (cell: number, i: number) => void): void => {
      for (let i = 0; i < n; i++) {
        const [c0, r0, c1, r1] = [
          this.#column(box[4 * i]!),
          this.#row(box[4 * i + 1]!),
          this.#column(box[4 * i + 2]!),
          this.#row(box[4 * i + 3]!),
        ];
        for (let r = r0; r <= r1; r++) for (let c = c0; c <= c1; c++) put(r * this.#columns + c, i);
      }
    };
    each((cell) => start[cell + 1]!++);
    for (let c = 0; c + 1 < start.length; c++) start[c + 1]! += start[c]!;
    const fill = start.slice();
    const member = new Int32Array(start.at(-1)!);
    each((cell, i) => {
      member[fill[cell]!++] = i;
    });
    this.#start = start;
    this.#member = member;
    this.#seen = new Int32Array(n);
  }

  #column(x: number): number {
    return Math.min(this.#columns - 1, Math.max(0, Math.floor((x - this.#x) / this.#size)));
  }

  #row(y: number): number {
    return Math.min(this.#rows - 1, Math.max(0, Math.floor((y - this.#y) / this.#size)));
  }

  /** Writes the boxes that meet a rectangle into `out`, each once, and returns how many. */
  find(minX: number, minY: number, maxX: number, maxY: number, out: number[]): number {
    const query = ++this.#query;
    const box = this.#box;
    const [c0, r0, c1, r1] = [this.#column(minX), this.#row(minY), this.#column(maxX), this.#row(maxY)];
    let count = 0;
    for (let r = r0; r <= r1; r++) {
      for (let c = c0; c <= c1; c++) {
        const cell = r * this.#columns + c;
        for (let k = this.#start[cell]!; k < this.#start[cell + 1]!; k++) {
          const i = this.#member[k]!;
          if (this.#seen[i] === query) continue;
          this.#seen[i] = query;
          const b = 4 * i;
          if (box[b]! > maxX || box[b + 2]! < minX || box[b + 1]! > maxY || box[b + 3]! < minY) continue;
          out[count++] = i;
        }
      }
    }
    return count;
  }
}
