package model_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// declared is what the module's code declares: names by package, and fields and methods by type.
type declared struct {
	files         map[string]bool // by path and by every end of it
	names, member map[string]map[string]bool
}

func (d declared) add(to map[string]map[string]bool, of, name string) {
	if to[of] == nil {
		to[of] = map[string]bool{}
	}
	to[of][name] = true
}

// declarations reads the module's files, its tests among them.
func declarations(t *testing.T) declared {
	t.Helper()
	d := declared{map[string]bool{}, map[string]map[string]bool{}, map[string]map[string]bool{}}
	err := filepath.WalkDir("..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") {
			return err
		}
		parts := strings.Split(filepath.ToSlash(path), "/")
		for i := range parts {
			d.files[strings.Join(parts[i:], "/")] = true
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			switch decl := decl.(type) {
			case *ast.FuncDecl:
				if decl.Recv == nil {
					d.add(d.names, file.Name.Name, decl.Name.Name)
				} else {
					d.add(d.member, typeName(decl.Recv.List[0].Type), decl.Name.Name)
				}
			case *ast.GenDecl:
				for _, spec := range decl.Specs {
					d.spec(file.Name.Name, spec)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func (d declared) spec(in string, spec ast.Spec) {
	switch spec := spec.(type) {
	case *ast.ValueSpec:
		for _, name := range spec.Names {
			d.add(d.names, in, name.Name)
		}
	case *ast.TypeSpec:
		d.add(d.names, in, spec.Name.Name)
		if fields, isStruct := spec.Type.(*ast.StructType); isStruct {
			for _, field := range fields.Fields.List {
				for _, name := range field.Names {
					d.add(d.member, spec.Name.Name, name.Name)
				}
			}
		}
		if methods, isInterface := spec.Type.(*ast.InterfaceType); isInterface {
			for _, method := range methods.Methods.List {
				for _, name := range method.Names {
					d.add(d.member, spec.Name.Name, name.Name)
				}
			}
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
				of, name := parts[i], parts[i+1]
				known := code.names[of]
				if ast.IsExported(of) {
					known = code.member[of]
				}
				if known == nil && !ast.IsExported(of) {
					continue // a package of others, or a file's name
				}
				met++
				if !known[name] {
					t.Errorf("%s: there is no %s of %s", named, name, of)
				}
			}
		}
	}
	if met < 30 {
		t.Errorf("only %d names were looked up", met)
	}
}
