// Our own small drawings for buttons, on a 24 × 24 field.

const diamond = (x: number, y: number, w = 4, h = 6) => `M${x} ${y - h}L${x + w} ${y}L${x} ${y + h}L${x - w} ${y}Z`;

/** Each icon: filled shapes, then strokes. */
const DRAWINGS = {
  unit: ["M12 21L5.5 12L9 4.5L12 8L15 4.5L18.5 12Z", "M12 21V8"],
  run: [diamond(4.5, 12, 3.5, 5.5) + diamond(12, 12, 3.5, 5.5) + diamond(19.5, 12, 3.5, 5.5), ""],
  lean: [diamond(7, 17, 3.5, 5) + diamond(11, 12, 3.5, 5) + diamond(15, 7, 3.5, 5), ""],
  patch: [diamond(8, 8) + diamond(16, 8) + diamond(12, 14.5) + diamond(4.2, 14.5, 3.4) + diamond(19.8, 14.5, 3.4), ""],
  frame: ["", "M4 8L8 3L12 8L16 3L20 8L20 16L16 21L12 16L8 21L4 16Z"],
  ring: [
    "",
    "M3 10.5C3 7.5 7 5.5 12 5.5S21 7.5 21 10.5V14C21 17 17 19 12 19S3 17 3 14ZM3 10.5C3 13.5 7 15 12 15S21 13.5 21 10.5M9 15V19M15 15V19",
  ],
  flood: ["M12 3C15 7.5 17 10 17 13A5 5 0 0 1 7 13C7 10 9 7.5 12 3Z", "M3 20.5C5 19 7 19 9 20.5S13 22 15 20.5S19 19 21 20.5"],
  swap: [
    diamond(7, 15, 3.6, 5.4),
    diamond(17, 9, 3.6, 5.4) +
      "M4 7C5.5 4 9 3 12 4.5M12 4.5L9.6 1.8M12 4.5L8.8 6.2M20 17C18.5 20 15 21 12 19.5M12 19.5L14.4 22.2M12 19.5L15.2 17.8",
  ],
  pick: [diamond(12, 12, 2.6, 4), "M12 3V6M12 18V21M3 12H6M18 12H21M18.5 12A6.5 6.5 0 1 1 5.5 12A6.5 6.5 0 0 1 18.5 12Z"],
  select: ["", "M12 3L14 5.7M16 8.3L18 11M18 13L16 15.7M14 18.3L12 21M10 18.3L8 15.7M6 13L6 11M8 8.3L10 5.7"],
  mirror: ["M9.5 5L3.5 12L9.5 19Z", "M12 2.5V21.5M14.5 5L20.5 12L14.5 19Z"],
  side: ["M5 9H19L12 19Z", "M3.5 5.5H20.5"],
  undo: ["", "M5 9H14.5A5 5 0 0 1 14.5 19H9M5 9L9.5 4.5M5 9L9.5 13.5"],
  redo: ["", "M19 9H9.5A5 5 0 0 0 9.5 19H15M19 9L14.5 4.5M19 9L14.5 13.5"],
  plus: ["", "M12 5V19M5 12H19"],
  minus: ["", "M5 12H19"],
  fit: ["", "M4 9V4H9M15 4H20V9M20 15V20H15M9 20H4V15"],
  more: [
    "M5 10.3A1.7 1.7 0 1 1 5 13.7A1.7 1.7 0 1 1 5 10.3ZM12 10.3A1.7 1.7 0 1 1 12 13.7A1.7 1.7 0 1 1 12 10.3ZM19 10.3A1.7 1.7 0 1 1 19 13.7A1.7 1.7 0 1 1 19 10.3Z",
    "",
  ],
  close: ["", "M6 6L18 18M18 6L6 18"],
  copy: ["", "M8 8H19V20H8ZM5 16V4H16"],
  cut: ["", "M5 5L17 17M5 19L17 7M19.5 19A2.2 2.2 0 1 1 15.2 19A2.2 2.2 0 1 1 19.5 19ZM19.5 5A2.2 2.2 0 1 1 15.2 5A2.2 2.2 0 1 1 19.5 5Z"],
  paste: ["M9 11H15V17H9Z", "M7 5H5V21H19V5H17M9 3H15V7H9Z"],
  stamp: ["M9.5 3H14.5L13.5 11H18V15H6V11H10.5Z", "M5 19.5H19"],
  picture: ["M5 17L9.5 11L12.5 14.5L15 12L19 17ZM15.5 9.8A1.5 1.5 0 1 1 15.5 6.8A1.5 1.5 0 1 1 15.5 9.8Z", "M3.5 4.5H20.5V19.5H3.5Z"],
  move: [
    "",
    "M12 3V21M3 12H21M12 3L9.5 5.5M12 3L14.5 5.5M12 21L9.5 18.5M12 21L14.5 18.5M3 12L5.5 9.5M3 12L5.5 14.5M21 12L18.5 9.5M21 12L18.5 14.5",
  ],
  fill: [diamond(12, 12, 7, 9), ""],
  views: ["", "M12 4C7 4 4 9.5 3 12C4 14.5 7 20 12 20S20 14.5 21 12C20 9.5 17 4 12 4ZM15 12A3 3 0 1 1 9 12A3 3 0 0 1 15 12Z"],
  rings: [
    "",
    "M4 7.5C4 5.5 8 4.5 12 4.5S20 5.5 20 7.5S16 10.5 12 10.5S4 9.5 4 7.5ZM4 12.5C4 14.5 8 15.5 12 15.5S20 14.5 20 12.5M4 17C4 19 8 20 12 20S20 19 20 17",
  ],
  papers: ["M5 4H13V12H5Z", "M9 15V20H19V10H16"],
  history: ["", "M4.5 12A7.5 7.5 0 1 1 7 17.6M4.5 12L2 9.4M4.5 12L7.3 9.6M12 7.5V12.4L15.4 14.2"],
  help: ["", "M8.5 9A3.5 3.5 0 1 1 13.6 12.1C12.4 12.8 12 13.4 12 14.8M12 18.2V18.8"],
  up: ["", "M12 19V5M12 5L6 11M12 5L18 11"],
  down: ["", "M12 5V19M12 19L6 13M12 19L18 13"],
  bin: ["", "M5 7H19M9.5 7V4H14.5V7M7 7L8 20.5H16L17 7M10.5 11V17M13.5 11V17"],
  pencil: ["", "M4 20L5 15.5L15.5 5L19 8.5L8.5 19ZM13.5 7L17 10.5"],
  turn: ["", "M20 12A8 8 0 1 1 17.5 6.2M20 3V7.5H15.5"],
  around_left: ["", "M3 8C3 5.8 7 4.5 12 4.5S21 5.8 21 8S17 11.5 12 11.5S3 10.2 3 8ZM20 17.5H4.5M4.5 17.5L8.5 13.8M4.5 17.5L8.5 21.2"],
  around_right: ["", "M3 8C3 5.8 7 4.5 12 4.5S21 5.8 21 8S17 11.5 12 11.5S3 10.2 3 8ZM4 17.5H19.5M19.5 17.5L15.5 13.8M19.5 17.5L15.5 21.2"],
  sign: ["", "M6 19L12 4L18 19M8.2 14H15.8"],
  person: ["M12 4A4 4 0 1 1 12 12A4 4 0 1 1 12 4ZM4 21C4 16.5 7.5 14 12 14S20 16.5 20 21Z", ""],
  units: ["M12 21L8 13.5L10 9.5L12 11.5L14 9.5L16 13.5Z", "M12 21V11.5M3 8L5 4.5L7 8M17 8L19 4.5L21 8M7 8L10 9.5M17 8L14 9.5"],
  panel: ["M4 14H20V20H4Z", "M4 4H20V20H4ZM4 14H20"],
  find: ["", "M10 4A6 6 0 1 1 10 16A6 6 0 1 1 10 4ZM14.5 14.5L20 20"],
  flag: ["M7 4H18L15 8L18 12H7Z", "M7 3V21"],
} satisfies Record<string, [fill: string, line: string]>;

export type IconName = keyof typeof DRAWINGS;

const SVG = "http://www.w3.org/2000/svg";

/** Makes an icon; it is decoration, the button carries the name. */
export function icon(name: IconName): SVGSVGElement {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("class", "icon");
  const [fill, line] = DRAWINGS[name];
  for (const [d, kind] of [
    [fill, "filled"],
    [line, "lined"],
  ]) {
    if (!d) continue;
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("d", d);
    path.setAttribute("class", kind);
    svg.append(path);
  }
  return svg;
}
