package words

import (
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"golang.org/x/tools/go/packages"
)

var update = flag.Bool("update", false, "write the template of texts anew")

// The texts are found by their type: every constant of type say.Word in code that is no test's.

const (
	wordType = "bendbook/model/say.Word"
	sayPath  = "bendbook/model/say"
)

// text is one entry of the template.
type text struct {
	one, many string // many is "" for a text that does not count
	files     []string
	verbs     bool
}

// code is the module's own code, parsed and with its types.
var code = sync.OnceValues(func() ([]*packages.Package, error) {
	return packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedCompiledGoFiles | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports | packages.NeedDeps,
		Dir:  filepath.Join("..", ".."),
	}, "./...")
})

func load(t *testing.T) []*packages.Package {
	t.Helper()
	loaded, err := code()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range loaded {
		for _, fault := range p.Errors {
			t.Fatal(fault)
		}
	}
	return loaded
}

// inFile goes through the nodes of each file, in the order of the files' names, with the way to each.
func inFile(t *testing.T, visit func(p *packages.Package, file string, way []ast.Node) bool) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	type place struct {
		p    *packages.Package
		file *ast.File
		name string
	}
	var places []place
	for _, p := range load(t) {
		for i, file := range p.Syntax {
			name, err := filepath.Rel(root, p.CompiledGoFiles[i])
			if err != nil {
				t.Fatal(err)
			}
			places = append(places, place{p, file, filepath.ToSlash(name)})
		}
	}
	slices.SortFunc(places, func(a, b place) int { return cmp.Compare(a.name, b.name) })
	for _, at := range places {
		var way []ast.Node
		ast.Inspect(at.file, func(n ast.Node) bool {
			if n == nil {
				way = way[:len(way)-1]
				return true
			}
			way = append(way, n)
			if visit(at.p, at.name, way) {
				return true
			}
			way = way[:len(way)-1]
			return false
		})
	}
}

// constText is the constant text that an expression comes to.
func constText(p *packages.Package, n ast.Node) (string, bool) {
	expr, ok := n.(ast.Expr)
	if !ok {
		return "", false
	}
	tv := p.TypesInfo.Types[expr]
	if tv.Value == nil || tv.Value.Kind() != constant.String {
		return "", false
	}
	return constant.StringVal(tv.Value), true
}

func isWord(p *packages.Package, n ast.Node) bool {
	expr, ok := n.(ast.Expr)
	return ok && p.TypesInfo.TypeOf(expr) != nil && p.TypesInfo.TypeOf(expr).String() == wordType
}

// called is the function of package say that a call calls; "" for another.
func called(p *packages.Package, call *ast.CallExpr) string {
	selector, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	f, ok := p.TypesInfo.Uses[selector.Sel].(*types.Func)
	if !ok || f.Pkg() == nil || f.Pkg().Path() != sayPath {
		return ""
	}
	return f.Name()
}

// texts are all that the program says, in the order of the files.
func texts(t *testing.T) []*text {
	var all []*text
	known := make(map[string]*text)
	add := func(one, many, file string) {
		if strings.TrimSpace(one) == "" || !regexp.MustCompile(`\pL`).MatchString(verb.ReplaceAllString(one, "")) {
			return
		}
		entry, ok := known[one]
		if !ok {
			entry = &text{one: one}
			known[one] = entry
			all = append(all, entry)
		}
		entry.many = cmp.Or(entry.many, many)
		entry.verbs = entry.verbs || len(values(one)) > 0
		if !slices.Contains(entry.files, file) {
			entry.files = append(entry.files, file)
		}
	}
	inFile(t, func(p *packages.Package, file string, way []ast.Node) bool {
		n := way[len(way)-1]
		if call, ok := n.(*ast.CallExpr); ok && called(p, call) == "N" {
			one, isConst := constText(p, call.Args[1])
			many, areBoth := constText(p, call.Args[2])
			if isConst && areBoth {
				add(one, many, file)
			}
			return true
		}
		value, ok := constText(p, n)
		if !ok || !isWord(p, n) {
			return true
		}
		if _, isName := n.(*ast.Ident); isName {
			return true // stands where it is declared
		}
		if len(way) > 1 {
			if call, ok := way[len(way)-2].(*ast.CallExpr); ok && called(p, call) == "N" && len(call.Args) > 2 && (call.Args[1] == n || call.Args[2] == n) {
				return false
			}
		}
		add(value, "", file)
		return false
	})
	return all
}

func TestTheTemplateHoldsEveryText(t *testing.T) {
	if testing.Short() {
		t.Skip("all on one goroutine")
	}
	var b bytes.Buffer
	b.WriteString(`# All that Bendbook says. Copy this file to the name of your language, as de.po, and fill in each msgstr.
# A value stands for %s, %d and their like; where another order is wanted, %[2]s is the second of them.
# Written by: go test ./ui/words -run Template -update
msgid ""
msgstr ""
"Language: \n"
"Content-Type: text/plain; charset=UTF-8\n"
"Content-Transfer-Encoding: 8bit\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\n"
`)
	for _, entry := range texts(t) {
		fmt.Fprintf(&b, "\n#: %s\n", strings.Join(entry.files, " "))
		if entry.verbs {
			b.WriteString("#, go-format\n")
		}
		fmt.Fprintf(&b, "msgid %s\n", quoted(entry.one))
		if entry.many == "" {
			b.WriteString("msgstr \"\"\n")
			continue
		}
		fmt.Fprintf(&b, "msgid_plural %s\nmsgstr[0] \"\"\nmsgstr[1] \"\"\n", quoted(entry.many))
	}
	if *update {
		if err := os.WriteFile("bendbook.pot", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(b.Bytes(), Template) {
		t.Error("the program says other texts than stand in ui/words/bendbook.pot; go test ./ui/words -run Template -update writes it anew")
	}
}

// quoted is a text as a PO file spells it: lines of their own where it has some.
func quoted(text string) string {
	escape := strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`, "\r", `\r`).Replace
	lines := strings.SplitAfter(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) == 1 {
		return `"` + escape(text) + `"`
	}
	var b strings.Builder
	b.WriteString(`""`)
	for i, line := range lines {
		if i == len(lines)-1 && strings.HasSuffix(text, "\n") {
			line += "\n"
		}
		b.WriteString("\n\"" + escape(line) + `"`)
	}
	return b.String()
}

// Room about a text is the code's: a translator would lose it.
func TestNoTextHasRoomAboutIt(t *testing.T) {
	for _, entry := range texts(t) {
		for _, said := range []string{entry.one, entry.many} {
			if strings.Trim(said, " ") != said {
				t.Errorf("%q begins or ends with a blank", said)
			}
		}
	}
}

// A text that stands in several lines of the code has a blank, or a line's end, where they meet.
func TestNoTextRunsTwoWordsTogether(t *testing.T) {
	inFile(t, func(p *packages.Package, _ string, way []ast.Node) bool {
		sum, ok := way[len(way)-1].(*ast.BinaryExpr)
		if !ok || !isWord(p, sum) {
			return true
		}
		before, isConst := constText(p, sum.X)
		after, areBoth := constText(p, sum.Y)
		if isConst && areBoth && !strings.ContainsAny(before[len(before)-1:]+after[:1], " \n") {
			t.Errorf("%s: nothing stands between %q and %q", p.Fset.Position(sum.OpPos), before, after)
		}
		return true
	})
}

// sentence is what looks like words for a reader: two in a row.
var sentence = regexp.MustCompile(`[A-Za-z]{2,}['’)]?[,.:;]? +[(a-zA-Z%]|[A-Za-z]{2,}[,.:;]? $|^[,.:; ]* [A-Za-z]{2,}|%[a-z] [a-z]{2,}`)

// unsaid are the texts of two words and more that are not said in a tongue, by file; all of a file or folder where none is named.
var unsaid = map[string][]string{
	// What records, settings and tables spell in one way everywhere, and what is typed there.
	"model/aim/aim.go":               nil,
	"model/entry.go":                 {"handed over"},
	"model/finish/stage.go":          nil, // the stages' names are the shop's own words, kept with its bows
	"model/finish/settings.go":       {"as the terminal"},
	"model/finish/document.go":       {"as the terminal", "json: unknown field "},
	"model/record/errors.go":         {"number "}, // of package json
	"model/wood/wood.go":             nil,         // names by which a wood is found, and where its figures stand
	"session/advice/plandocument.go": {"left over"},
	"session/correct.go":             {"brought back"},
	"session/sheet/form.go":          {"correct "},
	"session/sheet/settinglists.go":  {"card: what the bow is", "card: how it is kept"}, // said by List.Word
	"session/table/columns.go":       nil,
	"session/table/given.go":         {"the "},
	// Only developers and tests read these.
	"model/virtual/": nil, "session/booktest/": nil, "ui/terminal/": nil,
}

func TestNoTextIsSaidPastTheTemplate(t *testing.T) {
	inFile(t, func(p *packages.Package, file string, way []ast.Node) bool {
		switch n := way[len(way)-1].(type) {
		case *ast.ImportSpec, *ast.Field:
			return false
		case *ast.KeyValueExpr:
			// A command line is the same in every tongue.
			key, ok := n.Key.(*ast.Ident)
			return !ok || key.Name != "Use" && key.Name != "Example"
		case *ast.CallExpr:
			// What cannot happen is said to the developer; a pattern or a template is no text.
			name := types.ExprString(n.Fun)
			return name != "panic" && !strings.HasPrefix(name, "regexp.") && !strings.HasPrefix(name, "template.")
		case *ast.BasicLit:
			if n.Kind != token.STRING || isWord(p, n) {
				return true
			}
			value, err := strconv.Unquote(n.Value)
			if err != nil || !sentence.MatchString(value) || isUnsaid(file, value) {
				return true
			}
			for _, over := range way {
				if isWord(p, over) {
					return true // a part of a longer one
				}
			}
			t.Errorf("%s: %q is said past the template; it wants a say.Word", p.Fset.Position(n.Pos()), value)
		}
		return true
	})
}

func isUnsaid(file, value string) bool {
	for prefix, values := range unsaid {
		if strings.HasPrefix(file, prefix) && (len(values) == 0 || slices.Contains(values, value)) {
			return true
		}
	}
	return false
}

// A text takes as many values as stand behind it. The vet command sees to that for functions of fmt alone.
func TestEveryTextGetsTheValuesThatItTakes(t *testing.T) {
	inFile(t, func(p *packages.Package, file string, way []ast.Node) bool {
		call, ok := way[len(way)-1].(*ast.CallExpr)
		if !ok || call.Ellipsis.IsValid() {
			return true
		}
		signature, ok := p.TypesInfo.TypeOf(call.Fun).(*types.Signature)
		if !ok || !signature.Variadic() {
			return true
		}
		// The outline is the last parameter of type say.Word before the values.
		last := signature.Params().Len() - 2
		if last < 0 || signature.Params().At(last).Type().String() != wordType || len(call.Args) <= last {
			return true
		}
		outlines := call.Args[last : last+1]
		if called(p, call) == "N" {
			outlines = call.Args[last-1 : last+1]
		}
		for i, outline := range outlines {
			value, ok := constText(p, outline)
			if !ok {
				continue
			}
			takes, gets := values(value), len(call.Args)-last-1
			if most := len(takes); most != gets && !(i == 0 && len(outlines) == 2 && most < gets) {
				t.Errorf("%s: %q takes %d values and gets %d", p.Fset.Position(call.Pos()), value, most, gets)
			}
		}
		return true
	})
}
