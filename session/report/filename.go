package report

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// longestName limits a name, in bytes, without its ending.
const longestName = 40

// device matches names that Windows keeps for itself, with any ending (Microsoft, "Naming Files").
var device = regexp.MustCompile(`^(con|prn|aux|nul|conin|conout|com[0-9]|lpt[0-9])$`)

// Filename reduces a name to plain letters, digits and dashes. It returns other where nothing is left.
func Filename(name, other string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r): // an accent, parted from its letter
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= longestName {
			break
		}
	}
	safe := strings.Trim(b.String(), "-")
	switch {
	case safe == "":
		return other
	case device.MatchString(safe):
		return safe + "-" + other
	}
	return safe
}
