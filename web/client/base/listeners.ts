// Those who want to hear of something, or have a say in it. They are added and never overwritten, so that nobody who
// comes later silences somebody who was there.

/** Hears of something that happened. */
export class Listeners<What extends unknown[] = []> {
  private readonly list: ((...what: What) => void)[] = [];

  add(fn: (...what: What) => void): void {
    this.list.push(fn);
  }

  tell(...what: What): void {
    for (const fn of this.list) fn(...what);
  }
}

/** Has a say: the answer is yes as soon as one says so, and later ones are not asked. */
export class Deciders<What extends unknown[] = []> {
  private readonly list: ((...what: What) => boolean)[] = [];

  add(fn: (...what: What) => boolean): void {
    this.list.push(fn);
  }

  any(...what: What): boolean {
    return this.list.some((fn) => fn(...what));
  }
}
