package words_test

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"golang.org/x/tools/go/packages"
)

// use is one place in the Go code that says a sentence.
type use struct {
	at    string   // file and line
	keys  []string // every key it can say
	given []string // the values it gives, whichever key it is
	vague string   // why the keys cannot be told, "" when they can
}

// code is the type-checked Go code of the module, and where each of its names gets its values. It follows
// strings from where they are written to the sentences they name: through concatenations, variables, fields,
// lists, results and parameters, and through named string types to the constants of the type. What it
// cannot follow (a string from outside) is no key that can be vouched for.
type code struct {
	fset     *token.FileSet
	info     types.Info
	values   map[types.Object][]source        // of variables and fields
	calls    map[types.Object][]*ast.CallExpr // of functions, and of variables that hold one
	params   map[types.Object]param           // whose parameter a variable is
	returns  map[types.Object][]ast.Expr      // first results
	kinds    map[types.Type][]string          // constants of named string types
	takes    map[types.Object][]types.Object  // the parameters of a function
	handmade []source                         // keys given to a words.Text by other means than words.T
	says     []*ast.CallExpr                  // calls of words.T and Speaker.T
	busy     map[ast.Node]bool                // what is being followed now
}

// source is where a name gets a value: the expression, or an element or a key of it.
type source struct {
	expr ast.Expr
	part string // "", "element" or "key"
}

type param struct {
	of       types.Object
	index    int
	variadic bool
}

// env are the arguments of one call on the way to a sentence, by parameter.
type env map[types.Object]bound

type bound struct {
	args   []ast.Expr
	spread bool // the last one is a list
	env    env
}

// usesOf reads all Go code of the module in a folder but its tests, and gives what it says.
func usesOf(root string) ([]use, error) {
	loaded, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports,
		Dir:  root,
	}, "./...")
	if err != nil || len(loaded) == 0 {
		return nil, fmt.Errorf("no code was read in %s: %w", root, err)
	}
	c := &code{
		fset: loaded[0].Fset,
		info: types.Info{
			Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
			Selections: map[*ast.SelectorExpr]*types.Selection{},
		},
		values: map[types.Object][]source{}, calls: map[types.Object][]*ast.CallExpr{}, params: map[types.Object]param{},
		returns: map[types.Object][]ast.Expr{}, kinds: map[types.Type][]string{}, takes: map[types.Object][]types.Object{}, busy: map[ast.Node]bool{},
	}
	for _, p := range loaded {
		if len(p.Errors) > 0 {
			return nil, fmt.Errorf("%s: %v", p.PkgPath, p.Errors)
		}
		maps.Copy(c.info.Types, p.TypesInfo.Types)
		maps.Copy(c.info.Defs, p.TypesInfo.Defs)
		maps.Copy(c.info.Uses, p.TypesInfo.Uses)
		maps.Copy(c.info.Selections, p.TypesInfo.Selections)
	}
	for _, p := range loaded {
		for _, name := range p.Types.Scope().Names() {
			if k, ok := p.Types.Scope().Lookup(name).(*types.Const); ok && k.Val().Kind() == constant.String {
				if named, ok := k.Type().(*types.Named); ok {
					c.kinds[named] = append(c.kinds[named], constant.StringVal(k.Val()))
				}
			}
		}
		for _, file := range p.Syntax {
			for _, d := range file.Decls {
				if f, ok := d.(*ast.FuncDecl); ok {
					c.function(c.info.Defs[f.Name], f.Type, f.Body)
				}
				c.read(d)
			}
		}
	}
	return c.uses(), nil
}

// function notes the parameters and results of a function.
func (c *code) function(f types.Object, t *ast.FuncType, body *ast.BlockStmt) {
	i := 0
	for _, field := range t.Params.List {
		_, variadic := field.Type.(*ast.Ellipsis)
		for _, name := range field.Names {
			o := c.info.Defs[name]
			c.params[o] = param{f, i, variadic}
			c.takes[f] = append(c.takes[f], o)
			i++
		}
	}
	if body == nil {
		return
	}
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.ReturnStmt:
			if len(n.Results) > 0 {
				c.returns[f] = append(c.returns[f], n.Results[0])
			}
		}
		return true
	})
}

// read notes every value that a name gets, and every call, in a declaration.
func (c *code) read(d ast.Node) {
	ast.Inspect(d, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ValueSpec:
			for i, name := range n.Names {
				if i < len(n.Values) {
					c.gives(name, source{n.Values[i], ""})
				}
			}
		case *ast.AssignStmt:
			for i, to := range n.Lhs {
				if len(n.Lhs) == len(n.Rhs) {
					c.gives(to, source{n.Rhs[i], ""})
				} else if i == 0 {
					c.gives(to, source{n.Rhs[0], ""})
				}
			}
		case *ast.RangeStmt:
			if n.Key != nil {
				c.gives(n.Key, source{n.X, "key"})
			}
			if n.Value != nil {
				c.gives(n.Value, source{n.X, "element"})
			}
		case *ast.CompositeLit:
			c.literal(n)
		case *ast.CallExpr:
			if f := c.callee(n); f != nil {
				c.calls[f] = append(c.calls[f], n)
				if f.Name() == "T" && f.Pkg() != nil && f.Pkg().Path() == "tuckring/internal/words" {
					c.says = append(c.says, n)
				}
			}
		}
		return true
	})
}

// gives notes that a variable or field gets a value.
func (c *code) gives(to ast.Expr, v source) {
	o := c.object(to)
	if o == nil {
		return
	}
	c.values[o] = append(c.values[o], v)
	c.noteKey(o, v)
	if f, ok := v.expr.(*ast.FuncLit); ok {
		c.function(o, f.Type, f.Body)
	}
}

// literal notes the fields that a struct literal sets.
func (c *code) literal(n *ast.CompositeLit) {
	t := c.info.Types[n].Type
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	s, ok := t.Underlying().(*types.Struct)
	if !ok {
		return
	}
	for i, e := range n.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			c.gives(kv.Key, source{kv.Value, ""})
			continue
		}
		f := types.Object(s.Field(i))
		c.values[f] = append(c.values[f], source{e, ""})
		c.noteKey(f, source{e, ""})
	}
}

// noteKey notes that the key of a sentence is set by hand. Only the store does, which reads sentences back
// that were said when it kept them.
func (c *code) noteKey(o types.Object, v source) {
	in := filepath.ToSlash(c.fset.Position(v.expr.Pos()).Filename)
	if o.Name() == "Key" && o.Pkg() != nil && o.Pkg().Path() == "tuckring/internal/words" && !c.inWords(v.expr) && !strings.HasSuffix(in, "/internal/store/texts.go") {
		c.handmade = append(c.handmade, v)
	}
}

// object is the variable, field or function that an expression names.
func (c *code) object(e ast.Expr) types.Object {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return c.object(e.X)
	case *ast.Ident:
		if o := c.info.Defs[e]; o != nil {
			return o
		}
		return origin(c.info.Uses[e])
	case *ast.SelectorExpr:
		if s := c.info.Selections[e]; s != nil {
			return origin(s.Obj())
		}
		return origin(c.info.Uses[e.Sel])
	case *ast.IndexExpr: // an element set, or a generic function
		return c.object(e.X)
	}
	return nil
}

// origin is the declared object of an instance of a generic one.
func origin(o types.Object) types.Object {
	switch o := o.(type) {
	case *types.Func:
		return o.Origin()
	case *types.Var:
		return o.Origin()
	}
	return o
}

func (c *code) callee(n *ast.CallExpr) types.Object {
	if c.info.Types[n.Fun].IsType() {
		return nil
	}
	return c.object(n.Fun)
}

// ---- following strings

// uses are all places that say sentences, once for each way by which they are reached.
func (c *code) uses() []use {
	var out []use
	for _, v := range c.handmade {
		out = append(out, use{at: c.place(v.expr), vague: "the key of a words.Text is set by hand; say the sentence with words.T"})
	}
	for _, s := range c.says {
		args := s.Args
		if len(args) == 0 || c.inWords(s) {
			continue
		}
		for _, e := range c.ways(worded(args, s.Ellipsis.IsValid()), 0) {
			u := use{at: c.place(s)}
			c.busy = map[ast.Node]bool{}
			keys, why := c.follow(args[0], e)
			u.keys, u.vague = keys, why
			given, why := c.names(args[1:], s.Ellipsis.IsValid(), e)
			if why != "" && u.vague == "" {
				u.vague = why
			}
			u.given = given
			out = append(out, u)
		}
	}
	return out
}

// worded are the arguments that decide which sentence is said and which values it is given by name.
func worded(args []ast.Expr, spread bool) []ast.Expr {
	out := args[:1:1]
	for i := 1; i < len(args); i += 2 {
		out = append(out, args[i])
	}
	if spread {
		out = append(out, args[len(args)-1])
	}
	return out
}

// inWords tells whether a place is in the package words itself, which passes on what it is given.
func (c *code) inWords(n ast.Node) bool {
	return strings.Contains(filepath.ToSlash(c.fset.Position(n.Pos()).Filename), "/internal/words/")
}

func (c *code) place(n ast.Node) string {
	p := c.fset.Position(n.Pos())
	dir, file := filepath.Split(p.Filename)
	return fmt.Sprintf("%s/%s:%d", filepath.Base(dir), file, p.Line)
}

// ways are the calls by which expressions are reached, when what they say depends on parameters.
func (c *code) ways(list []ast.Expr, depth int) []env {
	f := c.asks(list, map[types.Object]bool{})
	if f == nil || depth > 6 {
		return []env{nil}
	}
	var out []env
	for _, from := range c.calls[f] {
		for _, outer := range c.ways(c.passed(f, from), depth+1) {
			e := maps.Clone(outer)
			if e == nil {
				e = env{}
			}
			for _, o := range c.takes[f] {
				switch p := c.params[o]; {
				case p.index >= len(from.Args):
					e[o] = bound{nil, false, outer}
				case p.variadic:
					e[o] = bound{from.Args[p.index:], from.Ellipsis.IsValid(), outer}
				default:
					e[o] = bound{from.Args[p.index : p.index+1], false, outer}
				}
			}
			out = append(out, e)
		}
	}
	if len(out) == 0 {
		return []env{nil}
	}
	return out
}

// passed are the arguments of a call that are texts or pairs.
func (c *code) passed(f types.Object, from *ast.CallExpr) []ast.Expr {
	var out []ast.Expr
	for _, o := range c.takes[f] {
		switch p := c.params[o]; {
		case p.index >= len(from.Args):
		case p.variadic:
			out = append(out, from.Args[p.index:]...)
		case isText(o.Type()) || isPairs(o.Type()):
			out = append(out, from.Args[p.index])
		}
	}
	return out
}

// asks finds the function on whose parameter it depends what expressions say: a text that it is given, or
// pairs that it passes on.
func (c *code) asks(list []ast.Expr, seen map[types.Object]bool) (f types.Object) {
	for _, e := range list {
		ast.Inspect(e, func(n ast.Node) bool {
			id, ok := n.(*ast.Ident)
			if !ok || f != nil {
				return f == nil
			}
			o := c.info.Uses[id]
			if o == nil || seen[o] || !isText(o.Type()) && !isPairs(o.Type()) {
				return true
			}
			seen[o] = true
			if p, ok := c.params[o]; ok {
				f = p.of
				return false
			}
			for _, v := range c.values[o] { // a local variable made of parameters
				if o.Parent() != o.Pkg().Scope() && f == nil {
					f = c.asks([]ast.Expr{v.expr}, seen)
				}
			}
			return f == nil
		})
	}
	return f
}

func isPairs(t types.Type) bool {
	s, ok := t.Underlying().(*types.Slice)
	return ok && types.IsInterface(s.Elem())
}

func isText(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsString != 0
}

// follow gives every string that an expression can be, or why that cannot be told.
func (c *code) follow(x ast.Expr, e env) ([]string, string) {
	if v := c.info.Types[x].Value; v != nil && v.Kind() == constant.String {
		return []string{constant.StringVal(v)}, ""
	}
	if c.busy[x] {
		return nil, ""
	}
	c.busy[x] = true
	defer delete(c.busy, x)
	if named, ok := c.info.Types[x].Type.(*types.Named); ok && len(c.kinds[named]) > 1 {
		return c.kinds[named], ""
	}
	switch x := x.(type) {
	case *ast.ParenExpr:
		return c.follow(x.X, e)
	case *ast.BinaryExpr:
		return c.joined(x, e)
	case *ast.CallExpr:
		if c.info.Types[x.Fun].IsType() {
			return c.follow(x.Args[0], e)
		}
		f := c.callee(x)
		if f != nil && f.Name() == "Among" && f.Pkg().Path() == "tuckring/internal/words" {
			return c.among(x, e)
		}
		if f != nil && len(c.returns[f]) > 0 {
			return c.union(c.returns[f], c.inner(f, x, e))
		}
	case *ast.IndexExpr:
		return c.elements(x.X, "element", e)
	case *ast.Ident, *ast.SelectorExpr:
		return c.variable(c.object(x), e)
	}
	return nil, c.place(x) + ": a string that cannot be followed"
}

// inner is the env within a function that is called.
func (c *code) inner(f types.Object, x *ast.CallExpr, e env) env {
	in := env{}
	for _, o := range c.takes[f] {
		if i := c.params[o].index; i < len(x.Args) {
			in[o] = bound{x.Args[i : i+1], false, e}
		}
	}
	return in
}

// among gives the keys that words.Among allows.
func (c *code) among(x *ast.CallExpr, e env) ([]string, string) {
	parts, why := c.list(x.Args[2:], x.Ellipsis.IsValid(), "element", e)
	if why != "" {
		return nil, why
	}
	prefixes, why := c.follow(x.Args[0], e)
	return products(prefixes, parts), why
}

// list gives what arguments are, the last of which may be a whole list.
func (c *code) list(args []ast.Expr, spread bool, part string, e env) ([]string, string) {
	if !spread {
		return c.union(args, e)
	}
	head, why := c.union(args[:len(args)-1], e)
	if why != "" {
		return nil, why
	}
	tail, why := c.elements(args[len(args)-1], part, e)
	return append(slices.Clone(head), tail...), why
}

func (c *code) joined(x *ast.BinaryExpr, e env) ([]string, string) {
	left, why := c.follow(x.X, e)
	if why != "" {
		return nil, why
	}
	right, why := c.follow(x.Y, e)
	if why != "" {
		return nil, why
	}
	return products(left, right), ""
}

func products(left, right []string) []string {
	var out []string
	for _, l := range left {
		for _, r := range right {
			out = append(out, l+r)
		}
	}
	return out
}

func (c *code) union(list []ast.Expr, e env) ([]string, string) {
	var out []string
	for _, x := range list {
		found, why := c.follow(x, e)
		if why != "" {
			return nil, why
		}
		out = append(out, found...)
	}
	return out, ""
}

// variable gives all values of a variable, parameter or field.
func (c *code) variable(o types.Object, e env) ([]string, string) {
	if b, ok := e[o]; ok && len(b.args) == 1 {
		return c.follow(b.args[0], b.env)
	}
	if p, ok := c.params[o]; ok {
		var out []string
		for _, from := range c.calls[p.of] {
			if p.index >= len(from.Args) {
				continue
			}
			found, why := c.follow(from.Args[p.index], nil)
			if why != "" {
				return nil, why
			}
			out = append(out, found...)
		}
		if len(c.calls[p.of]) > 0 {
			return out, ""
		}
		return nil, fmt.Sprintf("%s is a parameter of %s, which is called from nowhere that can be seen", o.Name(), p.of.Name())
	}
	if o == nil || len(c.values[o]) == 0 {
		return nil, fmt.Sprintf("%v gets its value from outside the code", o)
	}
	var out []string
	for _, v := range c.values[o] {
		var found []string
		var why string
		if v.part == "" {
			found, why = c.follow(v.expr, e)
		} else {
			found, why = c.elements(v.expr, v.part, e)
		}
		if why != "" {
			return nil, why
		}
		out = append(out, found...)
	}
	return out, ""
}

// elements gives the elements or keys of a list or map.
func (c *code) elements(x ast.Expr, part string, e env) ([]string, string) {
	if c.busy[x] {
		return nil, ""
	}
	switch x := x.(type) {
	case *ast.ParenExpr:
		return c.elements(x.X, part, e)
	case *ast.SliceExpr:
		return c.elements(x.X, part, e)
	case *ast.CompositeLit:
		var list []ast.Expr
		for _, el := range x.Elts {
			kv, keyed := el.(*ast.KeyValueExpr)
			switch {
			case keyed && part == "key":
				list = append(list, kv.Key)
			case keyed:
				list = append(list, kv.Value)
			case part != "key":
				list = append(list, el)
			}
		}
		return c.union(list, e)
	case *ast.CallExpr:
		if id, ok := x.Fun.(*ast.Ident); ok && id.Name == "append" {
			c.busy[x] = true
			defer delete(c.busy, x)
			head, why := c.elements(x.Args[0], part, e)
			if why != "" {
				return nil, why
			}
			tail, why := c.list(x.Args[1:], x.Ellipsis.IsValid(), part, e)
			return append(slices.Clone(head), tail...), why
		}
		if f := c.callee(x); f != nil && len(c.returns[f]) > 0 {
			var out []string
			for _, r := range c.returns[f] {
				found, why := c.elements(r, part, c.inner(f, x, e))
				if why != "" {
					return nil, why
				}
				out = append(out, found...)
			}
			return out, ""
		}
	case *ast.Ident, *ast.SelectorExpr:
		o := c.object(x)
		if b, ok := e[o]; ok && len(b.args) == 1 {
			return c.elements(b.args[0], part, b.env)
		}
		var out []string
		for _, v := range c.values[o] {
			found, why := c.elements(v.expr, part, e)
			if why != "" {
				return nil, why
			}
			out = append(out, found...)
		}
		if len(c.values[o]) > 0 {
			return out, ""
		}
		if t, ok := c.info.Types[x].Type.Underlying().(interface{ Elem() types.Type }); ok {
			if named, ok := t.Elem().(*types.Named); ok && len(c.kinds[named]) > 1 {
				return c.kinds[named], ""
			}
		}
	}
	return nil, c.place(x) + ": a list that cannot be followed"
}

// names gives the names of a sentence's values: every other one of the arguments.
func (c *code) names(args []ast.Expr, spread bool, e env) ([]string, string) {
	list := args
	var out []string
	if spread {
		last := args[len(args)-1]
		list = args[:len(args)-1]
		more, why := c.namesIn(last, e)
		if why != "" {
			return nil, why
		}
		out = more
	}
	for i := 0; i < len(list); i += 2 {
		found, why := c.follow(list[i], e)
		if why != "" {
			return nil, why
		}
		out = append(out, found...)
	}
	return out, ""
}

// namesIn gives the names in a list of pairs.
func (c *code) namesIn(x ast.Expr, e env) ([]string, string) {
	switch x := x.(type) {
	case *ast.CompositeLit:
		return c.names(x.Elts, false, e)
	case *ast.CallExpr:
		if id, ok := x.Fun.(*ast.Ident); ok && id.Name == "append" {
			head, why := c.namesIn(x.Args[0], e)
			if why != "" {
				return nil, why
			}
			tail, why := c.names(x.Args[1:], x.Ellipsis.IsValid(), e)
			return append(slices.Clone(head), tail...), why
		}
	case *ast.Ident:
		o := c.object(x)
		if b, ok := e[o]; ok {
			return c.names(b.args, b.spread, b.env)
		}
		if len(c.values[o]) == 1 {
			return c.namesIn(c.values[o][0].expr, e)
		}
	}
	return nil, c.place(x) + ": pairs that cannot be followed"
}
