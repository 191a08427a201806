// Package filename makes names of files that every system takes: ASCII letters, digits and dashes, of no great length,
// and none that a system keeps for itself. It must not know folders, nor whether a name is taken.
package filename

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// longest is the longest name without what is behind it, in bytes.
const longest = 40

// devices are names that Windows keeps for itself, with any ending ("Naming Files, Paths, and Namespaces", Microsoft).
var devices = []string{
	"con", "prn", "aux", "nul", "conin", "conout",
	"com0", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9",
	"lpt0", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
}

// Of is a name as part of a file's name: letters without their accents, all others as dashes; other where nothing is left.
func Of(name, other string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r): // an accent, parted from its letter
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= longest {
			break
		}
	}
	safe := strings.Trim(b.String(), "-")
	switch {
	case safe == "":
		return other
	case slices.Contains(devices, safe):
		return safe + "-" + other
	}
	return safe
}
