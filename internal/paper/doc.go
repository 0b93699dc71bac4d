// Package paper works out the paper of a figure: sheet sizes and their mass, the best edge-to-edge
// layout of units on a sheet and the cuts that make it, cutting a whole order in stacks, nearby
// unit sizes that fill a sheet better, stock and shopping with exact money, and kits for sharing
// the folding.
//
// Lengths are in mm and measured from the sheet's lower left corner; masses are in grams. Named
// sheets stand upright: A4 is 210 wide and 297 high. Everything a user can get wrong is refused
// with a figure.Fault: where, what was found, what would be right.
//
// # Lengths are exact
//
// Inside, a length is a whole number of ticks of half a nanometre, so that adding and comparing is
// exact; a length with more than six decimals of a mm is rounded to the nearest nanometre first.
//
// # The best layout, and why it is the best
//
// A guillotine or trimmer cuts every piece from edge to edge. Each cut of a piece w wide at x
// leaves x and w − x − kerf. With the kerf added once to every length (unit and sheet alike) the
// parts simply add up: w' = x' + (w − x)', so blade loss needs no case of its own, and a piece that
// ends at the trimmed edge of the sheet loses nothing there.
//
// Call a length normal when it is a sum of whole unit lengths and widths. Any tree of cuts can be
// pushed together to the lower left without losing a piece and without one more cut, such that
// every piece that still holds units has a normal width and height, except that a piece too
// large by some slack is trimmed once first. (Induction over the tree: let T be a tree on (w, h)
// with n cuts. It packs to a normal width w' ≤ w with n' cuts such that n' + [w' < w] ≤ n. A unit is
// itself. A cut across the width packs both parts and w' is the sum of theirs. A cut along the
// width takes the larger of both packed widths, and the smaller part gets the one trim that it had
// to have anyway. A waste part is dropped with its cut. The same holds for the height.) These
// are the normal patterns, or raster points, of the cutting literature (Herz 1972; Christofides and
// Whitlock 1977; from memory), here carried through to the number of cuts.
//
// So it is enough to fill a table over all pairs of normal lengths with the best (most units, then
// fewest cuts): a unit; two smaller pieces that add up exactly; or a trim to a smaller normal
// length. All are tried, so the entry is the proven best and at the same time the bound: no
// edge-to-edge layout holds more. Two remarks make the table fast without leaving
// anything out: turning the paper swaps width and height, so half the table is a mirror of the
// other; and of a row of strips one may always be split off that is not itself two strips and is at
// most half as wide as the row, so only such prime strips are tried.
//
// Where a sheet holds so many units that this would keep a person waiting (maxWork), the best layout in
// strips is taken (see strips), and a bound on any layout says how far it may be off (see bound). A
// layout that reaches the bound is proven all the same.
//
// # Fewest stop settings
//
// Among all trees with most units and fewest cuts, the one that needs the fewest different stop
// settings is searched by trying all sets of one, two, three … settings. What lies at the stop always
// holds units: an offcut there would sometimes save a setting (a sheet of 150 × 150 gives three units
// of 97 × 53 with the stop at 53 alone), but then units would be what is left and as inexact as the
// sheet. In a tree with fewest cuts one of the two parts of every cut has no slack (or the cuts of the lemma
// above would be one fewer), so the settings that come up are the normal lengths, and what they leave of a piece
// where that holds units. The search is complete, and Layout.StopsProven true, unless it runs
// into its limit of work or there are margins, whose cuts are set by themselves; then the best set found
// is kept and StopsProven is false.
package paper
