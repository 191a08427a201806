package model_test

import (
	"cmp"
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

// A package reads from top to bottom: its files stand on floors, and few arrows point back up.
func TestThePackagesHaveNoTangles(t *testing.T) {
	for dir, most := range map[string]int{"ui": 0, "session": 3, "session/shop": 7, "session/verdict": 19, "session/sheet": 17} {
		uses, _ := fileUses(t, dir)
		if back := arrowsBack(uses); len(back) > most {
			t.Errorf("%s has %d arrows back up, at most %d may be:\n%s", dir, len(back), most, strings.Join(back, "\n"))
		}
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
// the arrows that point forward all the same. What is left in a ring gives way where the most arrows come
// in and the fewest go out.
func arrowsBack(uses arrows) (back []string) {
	left := slices.Sorted(maps.Keys(uses))
	placed := map[string]bool{}
	for len(left) > 0 {
		open := func(file string) (n int) {
			for to := range uses[file] {
				if !placed[to] {
					n++
				}
			}
			return n
		}
		used := func(file string) (n int) {
			for _, other := range left {
				if uses[other][file] {
					n++
				}
			}
			return n
		}
		next := slices.MinFunc(left, func(a, b string) int {
			return cmp.Or(cmp.Compare(min(open(a), 1), min(open(b), 1)), cmp.Compare(open(a)-used(a), open(b)-used(b)), cmp.Compare(a, b))
		})
		for to := range uses[next] {
			if !placed[to] {
				back = append(back, next+" uses "+to)
			}
		}
		placed[next] = true
		left = slices.DeleteFunc(left, func(file string) bool { return file == next })
	}
	slices.Sort(back)
	return back
}
