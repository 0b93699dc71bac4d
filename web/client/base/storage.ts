// The browser's storage, where it may be used.

/** null where storage is forbidden: what would be kept lasts as long as the page. */
export function kept(which: "localStorage" | "sessionStorage"): Storage | null {
  try {
    return window[which];
  } catch {
    return null;
  }
}
