// Outlines on a canvas.

/** Adds the line through points to the path; the caller begins, closes, fills and strokes it. */
export function trace(
  c: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D,
  points: readonly (readonly [x: number, y: number])[],
): void {
  points.forEach(([x, y], i) => {
    if (i) c.lineTo(x, y);
    else c.moveTo(x, y);
  });
}
