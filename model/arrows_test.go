package model_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The arrows between the rooms point one way: main → ui → session → model and main → storage →
// model. Tests may cross them, to see whether the rooms fit.
func TestTheArrowsBetweenTheRoomsPointOneWay(t *testing.T) {
	rooms := map[string][]string{ // a room's packages may depend on those of these rooms
		"model": {"model"}, "session": {"session", "model"}, "storage": {"storage", "model"},
		"ui": {"ui", "session", "model"}, "main": {"ui", "session", "storage", "model"},
	}
	// What a room has no business with, whatever the way it comes by it.
	screens := []string{"github.com/charmbracelet/bubbletea", "github.com/charmbracelet/lipgloss"}
	pure := append([]string{"time/tzdata", "net/http", "go.etcd.io/bbolt"}, screens...)
	foreign := map[string][]string{
		"model": pure, "session": pure, "storage": screens, "ui": {"go.etcd.io/bbolt"},
	}
	for from, all := range listed(t, "Deps") {
		for _, to := range all {
			if slices.Contains(foreign[room(from)], to) {
				t.Errorf("%s comes to depend on %s", from, to)
			}
			if strings.HasPrefix(to, "bendbook/") && !slices.Contains(rooms[room(from)], room(to)) {
				t.Errorf("%s comes to depend on %s: that arrow points the wrong way", from, to)
			}
		}
	}
	// What package fmt brings along is not asked for by whoever prints: of files it is the import that counts.
	// booktest is test code.
	for from, all := range listed(t, "Imports") {
		for _, to := range all {
			system := to == "os" || strings.HasPrefix(to, "os/") || to == "syscall"
			pure := room(from) == "model" || room(from) == "session" && !strings.HasSuffix(from, "/booktest")
			if system && pure {
				t.Errorf("%s imports %s", from, to)
			}
		}
	}
}

// listed are the module's packages, each with what go list says of it under a name.
func listed(t *testing.T, what string) map[string][]string {
	t.Helper()
	format := `{{.ImportPath}}{{range .` + what + `}} {{.}}{{end}}`
	out, err := exec.Command("go", "list", "-f", format, "bendbook/...").Output()
	if err != nil {
		t.Fatalf("listing the packages: %v", err)
	}
	all := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		all[words[0]] = words[1:]
	}
	return all
}

// clocks are the functions of package time that look at the clock or wait for it.
var clocks = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}

// A day, or an hour, is given to model and session; session may name the clock where its user has handed in
// none, and never asks it itself.
func TestModelAndSessionAskNoClock(t *testing.T) {
	read := 0
	eachFile(t, func(path string, files *token.FileSet, file *ast.File) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		read++
		asked := map[ast.Node]bool{}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, isCall := n.(*ast.CallExpr); isCall {
				asked[call.Fun] = true
			}
			named, isNamed := n.(*ast.SelectorExpr)
			if !isNamed || !slices.Contains(clocks, named.Sel.Name) || !isTime(named.X) {
				return true
			}
			if strings.HasPrefix(path, "model/") || asked[named] {
				t.Errorf("%s: time.%s", files.Position(named.Pos()), named.Sel.Name)
			}
			return true
		})
	}, "model", "session")
	if read < 100 {
		t.Errorf("only %d files were read", read)
	}
}

// eachFile parses the Go files of folders of the module; none are all. Paths are from the module, with
// slashes.
func eachFile(t *testing.T, do func(path string, set *token.FileSet, file *ast.File), folders ...string) {
	t.Helper()
	if folders == nil {
		folders = []string{"."}
	}
	for _, folder := range folders {
		err := filepath.WalkDir(filepath.Join("..", folder), func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") {
				return err
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err == nil {
				do(strings.TrimPrefix(filepath.ToSlash(path), "../"), set, file)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// isTime says whether a name is that of package time, which nothing here imports under another.
func isTime(of ast.Expr) bool {
	name, ok := of.(*ast.Ident)
	return ok && name.Name == "time"
}

// room is the first part of a package's path within the module; main for the module itself.
func room(path string) string {
	if path == "bendbook" {
		return "main"
	}
	name, _, _ := strings.Cut(strings.TrimPrefix(path, "bendbook/"), "/")
	return name
}
