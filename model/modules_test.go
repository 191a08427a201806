package model_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A module that others wrote, as the go command knows it.
type module struct{ version, folder, used string }

// othersModules are the modules of others by their paths: those in the program on any of its systems, those
// that only the tests need, and those of the tool that looks over the code.
func othersModules(t *testing.T) map[string]module {
	t.Helper()
	all := make(map[string]module)
	for _, look := range []struct {
		used, system string
		packages     []string
	}{
		{"program", "linux", []string{"bendbook"}},
		{"program", "darwin", []string{"bendbook"}},
		{"program", "windows", []string{"bendbook"}},
		{"tests", "linux", []string{"-test", "bendbook/..."}},
		{"tool", "linux", []string{"tool"}},
	} {
		const format = "{{with .Module}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}"
		args := append([]string{"list", "-deps", "-f", format}, look.packages...)
		cmd := exec.Command("go", args...)
		cmd.Env = append(os.Environ(), "GOOS="+look.system, "CGO_ENABLED=0")
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("%s: %v", cmd, err)
		}
		for line := range strings.Lines(string(out)) {
			cells := strings.Split(strings.TrimSpace(line), "\t")
			if _, known := all[cells[0]]; len(cells) == 3 && !known && cells[1] != "" {
				all[cells[0]] = module{cells[1], cells[2], look.used}
			}
		}
	}
	return all
}

// licence is what a module's own licence file says it is; "" for one that has none, or another than these.
func licence(t *testing.T, folder string) string {
	t.Helper()
	for _, name := range []string{"LICENSE", "LICENSE.txt", "COPYING"} {
		text, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			continue
		}
		said := strings.Join(strings.Fields(string(text)), " ")
		for _, known := range []struct{ name, says string }{
			{"Apache-2.0", "Apache License Version 2.0"},
			{"MPL-2.0", "Mozilla Public License Version 2.0"},
			{"BSD-3-Clause", "Neither the name"},
			{"BSD-2-Clause", "Redistribution and use in source and binary forms"},
			{"MIT", "Permission is hereby granted, free of charge"},
		} {
			if strings.Contains(said, known.says) {
				return known.name
			}
		}
	}
	return ""
}

// Whoever hands Bendbook on may do so under these licences. A module with no licence file that is known here
// has its licence told elsewhere, by the reason that stands beside it.
func TestEveryModuleMayBeHandedOn(t *testing.T) {
	told := map[string]string{"github.com/mattn/go-localereader": "MIT, by its README"}
	all := othersModules(t)
	if len(all) < 20 {
		t.Fatalf("only %d modules were found", len(all))
	}
	for path, m := range all {
		switch found := licence(t, m.folder); {
		case found == "" && told[path] == "":
			t.Errorf("%s %s has no licence file that is known here", path, m.version)
		case found == "MPL-2.0" && m.used == "program":
			t.Errorf("%s %s is under %s, which asks for its source beside the program", path, m.version, found)
		}
	}
}
