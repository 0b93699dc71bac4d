package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
)

// source is what reflection cannot tell and the Go files can: comments, and the values of named strings.
type source struct {
	root string
	pkgs map[string][]*ast.File
}

func newSource(root string) *source { return &source{root: root, pkgs: map[string][]*ast.File{}} }

const module = "tuckring/"

// files are the parsed files of a package of ours, without its tests.
func (s *source) files(pkg string) ([]*ast.File, error) {
	if files, ok := s.pkgs[pkg]; ok {
		return files, nil
	}
	folder, ours := strings.CutPrefix(pkg, module)
	if !ours {
		return nil, fmt.Errorf("package %s is not ours", pkg)
	}
	paths, err := filepath.Glob(filepath.Join(s.root, filepath.FromSlash(folder), "*.go"))
	if err != nil || len(paths) == 0 {
		return nil, fmt.Errorf("no Go files of %s below %s", pkg, s.root)
	}
	var files []*ast.File
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	s.pkgs[pkg] = files
	return files, nil
}

// spec finds the declaration of a type.
func (s *source) spec(t reflect.Type) (*ast.TypeSpec, string, error) {
	files, err := s.files(t.PkgPath())
	if err != nil {
		return nil, "", err
	}
	for _, file := range files {
		for _, decl := range file.Decls {
			gen, ok := decl.(*ast.GenDecl)
			if !ok {
				continue
			}
			for _, spec := range gen.Specs {
				if ts, ok := spec.(*ast.TypeSpec); ok && ts.Name.Name == t.Name() {
					return ts, oneLine(gen.Doc), nil
				}
			}
		}
	}
	return nil, "", fmt.Errorf("%s is declared nowhere", t)
}

// doc is what the comment of a type says, in one line.
func (s *source) doc(t reflect.Type) (string, error) {
	_, doc, err := s.spec(t)
	return doc, err
}

// fieldDoc is what stands beside or above a field, "" for nothing.
func (s *source) fieldDoc(t reflect.Type, name string) string {
	spec, _, err := s.spec(t)
	if err != nil {
		return ""
	}
	st, ok := spec.Type.(*ast.StructType)
	if !ok {
		return ""
	}
	for _, f := range st.Fields.List {
		for _, id := range f.Names {
			if id.Name == name && f.Comment != nil {
				return oneLine(f.Comment)
			}
			if id.Name == name {
				return oneLine(f.Doc)
			}
		}
	}
	return ""
}

// values are the constants of a named string, in the order of their declaration.
func (s *source) values(t reflect.Type) (values []string, doc string, err error) {
	if _, doc, err = s.spec(t); err != nil {
		return nil, "", err
	}
	files, err := s.files(t.PkgPath())
	if err != nil {
		return nil, "", err
	}
	for _, file := range files {
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok {
				return true
			}
			if id, ok := spec.Type.(*ast.Ident); !ok || id.Name != t.Name() {
				return true
			}
			for _, v := range spec.Values {
				if lit, ok := v.(*ast.BasicLit); ok && lit.Kind == token.STRING {
					if value, err := strconv.Unquote(lit.Value); err == nil {
						values = append(values, value)
					}
				}
			}
			return true
		})
	}
	if len(values) == 0 {
		return nil, "", fmt.Errorf("%s has no constants: which values may it have?", t)
	}
	return values, doc, nil
}

func oneLine(c *ast.CommentGroup) string { return strings.Join(strings.Fields(c.Text()), " ") }
