package model_test

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A package reads from top to bottom: its files stand on floors, and three arrows at most point back up.
func TestThePackagesHaveNoTangles(t *testing.T) {
	const allowed = 3
	read := 0
	for _, path := range slices.Sorted(maps.Keys(listed(t, "Imports"))) {
		dir := strings.TrimPrefix(path, "bendbook/")
		if room(path) != "session" && room(path) != "ui" {
			continue
		}
		uses, _ := fileUses(t, dir)
		read += len(uses)
		if back := arrowsBack(uses); len(back) > allowed {
			t.Errorf("%s has %d arrows back up, at most %d may be:\n%q", dir, len(back), allowed, back)
		}
	}
	if read < 100 {
		t.Errorf("only %d files were read", read)
	}
}

// A screen returns a route to another, and the router makes that: no screen knows another, and what screens
// are made of knows none.
func TestNoScreenNamesAnother(t *testing.T) {
	uses, of := fileUses(t, "ui")
	screens := map[string]bool{}
	for _, screen := range of {
		screens[screen] = true
	}
	if len(screens) < 15 {
		t.Fatalf("only %d screens were found: %v", len(screens), slices.Sorted(maps.Keys(screens)))
	}
	for from, all := range uses {
		for to := range all {
			if above := from == "router.go" || from == "app.go"; !above && of[to] != "" && of[to] != of[from] {
				t.Errorf("%s uses %s, which is of the screen %s", from, to, of[to])
			}
		}
	}
}

// arrows say which file of a package uses what other files declare: names, methods and fields.
type arrows map[string]map[string]bool

// fileUses reads a package. What it imports is left out, so types from elsewhere stay unknown. Beside the
// arrows it tells of files that hold methods of a screen, a type with actions, which one that is.
func fileUses(t *testing.T, dir string) (uses arrows, screenOf map[string]string) {
	t.Helper()
	dir = filepath.Join("..", dir)
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	uses, screenOf = arrows{}, map[string]string{}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files, uses[filepath.Base(name)] = append(files, file), map[string]bool{}
	}
	info := types.Info{Uses: map[*ast.Ident]types.Object{}}
	config := types.Config{Importer: nowhere{}, Error: func(error) {}}
	of, _ := config.Check(dir, set, files, &info) // what it lacks of other packages is no matter
	at := func(pos token.Pos) string { return filepath.Base(set.Position(pos).Filename) }
	for name, object := range info.Uses {
		if object.Pos().IsValid() && at(object.Pos()) != at(name.Pos()) {
			uses[at(name.Pos())][at(object.Pos())] = true
		}
	}
	for _, name := range of.Scope().Names() {
		methods := types.NewMethodSet(types.NewPointer(of.Scope().Lookup(name).Type()))
		if methods.Lookup(of, "actions") == nil {
			continue
		}
		screenOf[at(of.Scope().Lookup(name).Pos())] = name
		for method := range methods.Methods() {
			if len(method.Index()) == 1 {
				screenOf[at(method.Obj().Pos())] = name
			}
		}
	}
	return uses, screenOf
}

// nowhere imports nothing.
type nowhere struct{}

func (nowhere) Import(string) (*types.Package, error) { return nil, errors.New("left out") }

// arrowsBack sets the files in an order in which each uses those before it, as far as that goes, and returns
// the arrows that point forward all the same. Files that use no later one come first; then one file at a time
// moves to where fewest arrows point forward.
func arrowsBack(uses arrows) (back []string) {
	var order []string
	for left := slices.Sorted(maps.Keys(uses)); len(left) > 0; {
		ready := func(file string) bool {
			return !slices.ContainsFunc(left, func(other string) bool { return other != file && uses[file][other] })
		}
		next := max(0, slices.IndexFunc(left, ready))
		order = append(order, left[next])
		left = slices.Delete(left, next, next+1)
	}
	for better := true; better; {
		better = false
		for _, file := range slices.Clone(order) {
			at := slices.Index(order, file)
			rest := slices.Delete(slices.Clone(order), at, at+1)
			// Before all others each that it uses comes after it; at each step on, one less or one more does.
			cost := len(uses[file])
			costs := []int{cost}
			for _, other := range rest {
				if uses[file][other] {
					cost--
				}
				if uses[other][file] {
					cost++
				}
				costs = append(costs, cost)
			}
			if best := slices.Index(costs, slices.Min(costs)); costs[best] < costs[at] {
				order, better = slices.Insert(rest, best, file), true
			}
		}
	}
	for i, file := range order {
		for _, later := range order[i+1:] {
			if uses[file][later] {
				back = append(back, file+" uses "+later)
			}
		}
	}
	return back
}
