package model_test

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// declared is what the module's code declares.
type declared struct {
	files    map[string]bool    // by path and by every end of it
	packages map[string]bool    // by name
	names    map[[2]string]bool // of a package, or of the fields and methods of an exported type
}

// declarations reads the module's files, its tests among them.
func declarations(t *testing.T) declared {
	t.Helper()
	d := declared{map[string]bool{}, map[string]bool{}, map[[2]string]bool{}}
	eachFile(t, func(path string, _ *token.FileSet, file *ast.File) {
		parts := strings.Split(path, "/")
		for i := range parts {
			d.files[strings.Join(parts[i:], "/")] = true
		}
		d.packages[file.Name.Name] = true
		for _, decl := range file.Decls {
			switch decl := decl.(type) {
			case *ast.FuncDecl:
				of := file.Name.Name
				if decl.Recv != nil {
					of = typeName(decl.Recv.List[0].Type)
				}
				d.add(of, decl.Recv != nil, decl.Name)
			case *ast.GenDecl:
				for _, spec := range decl.Specs {
					d.spec(file.Name.Name, spec)
				}
			}
		}
	})
	return d
}

// add adds what a package or a type declares.
func (d declared) add(of string, isType bool, names ...*ast.Ident) {
	for _, name := range names {
		if !isType || ast.IsExported(of) {
			d.names[[2]string{of, name.Name}] = true
		}
	}
}

func (d declared) spec(in string, spec ast.Spec) {
	switch spec := spec.(type) {
	case *ast.ValueSpec:
		d.add(in, false, spec.Names...)
	case *ast.TypeSpec:
		d.add(in, false, spec.Name)
		var fields *ast.FieldList
		switch of := spec.Type.(type) {
		case *ast.StructType:
			fields = of.Fields
		case *ast.InterfaceType:
			fields = of.Methods
		default:
			return
		}
		for _, field := range fields.List {
			d.add(spec.Name.Name, true, field.Names...)
		}
	}
}

// typeName is the name of a receiver's type.
func typeName(of ast.Expr) string {
	switch of := of.(type) {
	case *ast.StarExpr:
		return typeName(of.X)
	case *ast.IndexExpr:
		return typeName(of.X)
	case *ast.Ident:
		return of.Name
	}
	return ""
}

// What DEVELOPERS.md names of the code is there: files, names of a package, fields and methods of a type.
func TestWhatTheDevelopersAreToldOfIsThere(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	code := declarations(t)
	dotted := regexp.MustCompile(`^[A-Za-z]+(\.[A-Za-z]+)+$`)
	met := 0
	for _, match := range regexp.MustCompile("`([^`\n]+)`").FindAllStringSubmatch(string(text), -1) {
		named := match[1]
		switch {
		case strings.HasSuffix(named, ".go"):
			met++
			if !code.files[named] {
				t.Errorf("there is no file %s", named)
			}
		case dotted.MatchString(named):
			parts := strings.Split(named, ".")
			for i := range parts[1:] {
				of := [2]string{parts[i], parts[i+1]}
				if !ast.IsExported(of[0]) && !code.packages[of[0]] {
					continue // a package of others, or a file's name
				}
				met++
				if !code.names[of] {
					t.Errorf("%s: there is no %s of %s", named, of[1], of[0])
				}
			}
		}
	}
	if met < 30 {
		t.Errorf("only %d names were looked up", met)
	}
}
