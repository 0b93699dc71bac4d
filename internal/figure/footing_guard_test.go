package figure

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Only footing.go knows that a row stands on the one before it in the list, and that a unit offers two points. Rows that
// stand otherwise would be wrong wherever else that is worked out by hand.
func TestOnlyFootingKnowsWhatARowStandsOn(t *testing.T) {
	allowed := []string{
		"internal/figure/footing.go", // the one place
	}
	root := filepath.Join("..", "..")
	var found []string
	for _, folder := range []string{"internal", "web", "cmd"} {
		require.NoError(t, filepath.WalkDir(filepath.Join(root, folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.Name() == "node_modules" {
				return filepath.SkipDir
			}
			if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, "_templ.go") {
				return nil
			}
			name, _ := filepath.Rel(root, path)
			src, err := os.ReadFile(path)
			if err == nil && !slices.Contains(allowed, filepath.ToSlash(name)) {
				var list []string
				list, err = footingByHand(name, src)
				found = append(found, list...)
			}
			return err
		}))
	}
	assert.Empty(t, found, "ask Figure.Footing and Figure.Upon instead")
}

func TestFootingWorkedOutByHandIsFound(t *testing.T) {
	for _, line := range []string{
		"_ = f.Rings[i-1]", "_ = rings[ring + 1].Cells", "_ = u.arcs[at-1]", "_ = p.Rings[(i - 1)]",
		"_ = 2 * len(f.Rings[k].Cells)", "_ = len(r.Cells) * 2", "f.PointOwners(ring + 1)", "visit(ring - 1, k)", "_ = index%2 == 1",
	} {
		list, err := footingByHand("x.go", []byte("package x\nfunc _() { "+line+" }"))
		require.NoError(t, err)
		assert.Len(t, list, 1, line)
	}
	for _, line := range []string{"_ = f.Rings[len(f.Rings)-1]", "_ = f.Rings[i]", "_ = names[i-1]", "f.PointOwners(above)", "say(ring + 1)", "_ = f.Rings[x.Ring-1]"} {
		list, err := footingByHand("x.go", []byte("package x\nfunc _() { "+line+" }"))
		require.NoError(t, err)
		assert.Empty(t, list, line)
	}
}

// footingByHand finds where a row's footing is worked out by hand: a list of rows read beside an index, a ring beside
// another asked for its units or points, two points counted for each unit, even and odd rings told apart.
func footingByHand(name string, src []byte) (found []string, err error) {
	rows := []string{"Rings", "rings", "arcs", "rows", "touches", "seat", "known"}
	asks := []string{"PointOwners", "PointsTaken", "Below", "Above", "Footing", "Arc", "Middle", "UnitAt", "Points", "Even", "visit", "beside"}
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	note := func(n ast.Node, what string) {
		found = append(found, fmt.Sprintf("%s: %s", set.Position(n.Pos()), what))
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.IndexExpr:
			if slices.Contains(rows, lastName(n.X)) && besideIndex(n.Index) {
				note(n, "the row before or after")
			}
		case *ast.CallExpr:
			if slices.Contains(asks, lastName(n.Fun)) && slices.ContainsFunc(n.Args, besideIndex) {
				note(n, "asks the row before or after")
			}
		case *ast.BinaryExpr:
			if n.Op == token.MUL && (isTwo(n.X) && isUnits(n.Y) || isTwo(n.Y) && isUnits(n.X)) {
				note(n, "counts two points for each unit")
			}
			if n.Op == token.REM && isTwo(n.Y) && slices.Contains([]string{"index", "ring"}, lastName(n.X)) {
				note(n, "tells even and odd rings apart")
			}
		}
		return true
	})
	return found, nil
}

// besideIndex tells whether an expression is a variable one more or less.
func besideIndex(e ast.Expr) bool {
	if p, ok := e.(*ast.ParenExpr); ok {
		return besideIndex(p.X)
	}
	b, ok := e.(*ast.BinaryExpr)
	if !ok || b.Op != token.ADD && b.Op != token.SUB {
		return false
	}
	_, variable := b.X.(*ast.Ident)
	one, ok := b.Y.(*ast.BasicLit)
	return variable && ok && one.Value == "1"
}

// isUnits tells whether an expression is how many units a ring has.
func isUnits(e ast.Expr) bool {
	call, ok := e.(*ast.CallExpr)
	return ok && lastName(call.Fun) == "len" && lastName(call.Args[0]) == "Cells"
}

func isTwo(e ast.Expr) bool {
	two, ok := e.(*ast.BasicLit)
	return ok && two.Value == "2"
}

func lastName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}
