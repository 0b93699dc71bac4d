// Package wire is what the server and the page say to each other about a design: the state, edits and what
// became of them, events, findings, the history and the standing figure, with the limits that both sides keep.
// The page's types, limits and checks (web/client/wire/types.ts) are made of this package and of figure's
// registry of edits by internal/wire/typescript, so that neither side can say what the other does not know.
//
// Nothing that is null ever travels: lists are empty instead, and what may be missing is left out.
//
// The package knows nothing of HTTP, SQL or pages.
package wire
