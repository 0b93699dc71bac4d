/** Remainder that is never negative. */
export function mod(a: number, n: number): number {
  return ((a % n) + n) % n;
}
