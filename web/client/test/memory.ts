import type { Shelf } from "../pattern/sync/queue";

/** What a browser keeps, in memory; it may be full. */
export class Memory implements Shelf {
  private map = new Map<string, string>();
  full = false;
  getItem = (k: string) => this.map.get(k) ?? null;
  setItem(k: string, v: string): void {
    if (this.full) throw new Error("QuotaExceededError");
    this.map.set(k, v);
  }
  removeItem = (k: string) => void this.map.delete(k);
  key = (i: number) => [...this.map.keys()][i] ?? null;
  get length(): number {
    return this.map.size;
  }
}
