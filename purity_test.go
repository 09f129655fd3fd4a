package basswright_test

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// purity looks for what is impure in one package.
type purity struct {
	fset   *token.FileSet
	info   *types.Info
	faults []string
}

func newInfo() *types.Info {
	return &types.Info{
		Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{}, Types: map[ast.Expr]types.TypeAndValue{},
	}
}

func (p *purity) at(n ast.Node, format string, args ...any) {
	p.faults = append(p.faults, fmt.Sprintf("%s: %s", p.fset.Position(n.Pos()), fmt.Sprintf(format, args...)))
}

func (p *purity) check(files []*ast.File) []string {
	for _, f := range files {
		for _, group := range f.Comments {
			for _, c := range group.List {
				if strings.HasPrefix(c.Text, "//go:linkname") {
					p.at(c, "go:linkname reaches past every rule")
				}
			}
		}
		for _, spec := range f.Imports {
			path := strings.Trim(spec.Path.Value, `"`)
			if !strings.HasPrefix(path, internal) && !slices.Contains(pureImports, path) {
				p.at(spec, "imports %s, which is not known to be pure", path)
			}
		}
		for _, d := range f.Decls {
			if d, ok := d.(*ast.GenDecl); ok && d.Tok == token.VAR {
				p.variables(f.Name.Name, d)
			}
		}
		ast.Inspect(f, p.node)
	}
	return p.faults
}

// variables judges a declaration at package level.
func (p *purity) variables(pkg string, d *ast.GenDecl) {
	for _, spec := range d.Specs {
		spec := spec.(*ast.ValueSpec)
		for _, name := range spec.Names {
			v := p.info.Defs[name]
			if v == nil || name.Name == "_" || pureState[pkg+"."+name.Name] != "" {
				continue
			}
			if v.Exported() {
				p.at(name, "the variable %s can be written from everywhere; make it a constant or a function", name.Name)
			}
			if stateful(v.Type(), map[types.Type]bool{}) {
				p.at(name, "%s keeps state", name.Name)
			}
		}
		for i, value := range spec.Values {
			call, ok := value.(*ast.CallExpr)
			if !ok {
				continue
			}
			if _, ok := call.Fun.(*ast.FuncLit); ok {
				p.at(value, "%s may close over state", spec.Names[min(i, len(spec.Names)-1)].Name)
			}
		}
	}
}

// stateful says whether a type is made to be changed: channels, and what sync
// has to guard or share a value. sync.OnceValue is a function, and gives the
// same value for ever.
func stateful(t types.Type, seen map[types.Type]bool) bool {
	if seen[t] {
		return false
	}
	seen[t] = true
	if named, ok := types.Unalias(t).(*types.Named); ok {
		if pkg := named.Obj().Pkg(); pkg != nil && (pkg.Path() == "sync" || pkg.Path() == "sync/atomic") {
			return true
		}
	}
	switch u := t.Underlying().(type) {
	case *types.Chan:
		return true
	case *types.Pointer:
		return stateful(u.Elem(), seen)
	case *types.Slice:
		return stateful(u.Elem(), seen)
	case *types.Array:
		return stateful(u.Elem(), seen)
	case *types.Map:
		return stateful(u.Key(), seen) || stateful(u.Elem(), seen)
	case *types.Struct:
		for f := range u.Fields() {
			if stateful(f.Type(), seen) {
				return true
			}
		}
	}
	return false
}

// node judges one node of the tree.
func (p *purity) node(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.Ident:
		p.name(n)
	case *ast.AssignStmt:
		for _, to := range n.Lhs {
			p.written(to, "writes")
		}
	case *ast.IncDecStmt:
		p.written(n.X, "writes")
	case *ast.RangeStmt:
		p.written(n.Key, "writes")
		p.written(n.Value, "writes")
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			p.written(n.X, "takes the address of")
		}
	case *ast.SliceExpr:
		if _, ok := p.typeOf(n.X).(*types.Array); ok {
			p.written(n.X, "takes the address of")
		}
	case *ast.SelectorExpr:
		p.method(n)
	case *ast.CallExpr:
		p.call(n)
	}
	return true
}

// name judges the use of a name of another package, or of a builtin.
func (p *purity) name(n *ast.Ident) {
	use := p.info.Uses[n]
	if _, ok := use.(*types.Builtin); ok && (use.Name() == "print" || use.Name() == "println") {
		p.at(n, "uses %s", use.Name())
	}
	if use == nil || use.Pkg() == nil {
		return
	}
	path := use.Pkg().Path()
	_, method := use.(*types.Func)
	method = method && use.(*types.Func).Signature().Recv() != nil
	if field, ok := use.(*types.Var); ok && field.IsField() {
		return
	}
	if slices.Contains(impureNames[path], use.Name()) {
		p.at(n, "uses %s.%s", path, use.Name())
	}
	if _, ok := use.(*types.PkgName); ok || method {
		return // what a method may do, its value was given
	}
	if names, ok := pureNames[path]; ok && !slices.Contains(names, use.Name()) {
		p.at(n, "uses %s.%s", path, use.Name())
	}
}

// method judges a method with a pointer to a variable that is none: a.Lock().
func (p *purity) method(n *ast.SelectorExpr) {
	s := p.info.Selections[n]
	if s == nil || s.Kind() != types.MethodVal {
		return
	}
	_, pointer := s.Obj().(*types.Func).Signature().Recv().Type().(*types.Pointer)
	if _, already := p.typeOf(n.X).(*types.Pointer); pointer && !already {
		p.written(n.X, "takes the address of")
	}
}

// call judges calls that change what they are given.
func (p *purity) call(n *ast.CallExpr) {
	if len(n.Args) == 0 {
		return
	}
	fun := ast.Unparen(n.Fun)
	if s, ok := fun.(*ast.SelectorExpr); ok {
		fun = s.Sel
	}
	id, ok := fun.(*ast.Ident)
	if !ok {
		return
	}
	switch use := p.info.Uses[id].(type) {
	case *types.Builtin:
		if slices.Contains([]string{"clear", "copy", "delete"}, use.Name()) {
			p.written(n.Args[0], "writes")
		}
	case *types.Func:
		path := ""
		if use.Pkg() != nil {
			path = use.Pkg().Path()
		}
		fresh := slices.Contains([]string{"Sorted", "SortedFunc", "SortedStableFunc", "IsSorted", "IsSortedFunc"}, use.Name())
		if path == "sort" && !strings.HasPrefix(use.Name(), "Search") || path == "slices" && !fresh && (strings.HasPrefix(use.Name(), "Sort") || use.Name() == "Reverse") {
			p.written(n.Args[0], "sorts")
		}
	}
}

// written reports a variable at package level at the root of an expression.
func (p *purity) written(e ast.Expr, how string) {
	for {
		switch x := e.(type) {
		case *ast.ParenExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.SliceExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.SelectorExpr:
			if id, ok := x.X.(*ast.Ident); ok {
				if _, ok := p.info.Uses[id].(*types.PkgName); ok {
					e = x.Sel
					continue
				}
			}
			e = x.X
		case *ast.Ident:
			if v, ok := p.info.Uses[x].(*types.Var); ok && !v.IsField() && v.Pkg() != nil && v.Parent() == v.Pkg().Scope() {
				p.at(x, "%s %s, which all calls share", how, x.Name)
			}
			return
		default:
			return
		}
	}
}

func (p *purity) typeOf(e ast.Expr) types.Type {
	if t := p.info.TypeOf(e); t != nil {
		return t.Underlying()
	}
	return nil
}
