package form_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/session/form"
)

func TestValues(t *testing.T) {
	for text, want := range map[string][]string{
		"":                         nil,
		"6 3/8":                    {"6 3/8"},
		"5/16 1/2 1 1/4":           {"5/16", "1/2", "1 1/4"},
		"5/16\n1/2\r\n1 1/4\n":     {"5/16", "1/2", "1 1/4"},
		"5/16\t1/2\t1 1/4":         {"5/16", "1/2", "1 1/4"},
		"1, 1/2":                   {"1", "1/2"},
		"6-3/8 6⅜ 6 ⅜":             {"6-3/8", "6⅜", "6 ⅜"},
		"162 mm 45mm 3 1/2 in 1/4": {"162 mm", "45mm", "3 1/2 in", "1/4"},
		"-1/4 -2 1/2":              {"-1/4", "-2 1/2"},
	} {
		if got := form.Values(text); !slices.Equal(got, want) {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// However they are set apart, values come out as they went in, and nothing else does.
func TestValuesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SliceOfN(rapid.StringMatching(`[1-9][0-9]? [1-7]/8|[1-7]/16|[1-9][0-9]?\.[0-9]|[1-9]mm`), 1, 20).Draw(t, "values")
		between := rapid.SampledFrom([]string{"\n", "\r\n", "\t", "; ", ", ", "\n\n"}).Draw(t, "between")
		if got := form.Values(strings.Join(in, between)); !slices.Equal(got, in) {
			t.Fatalf("%q came out as %q", in, got)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		letters := func(s string) string {
			return strings.Map(func(r rune) rune {
				if strings.ContainsRune(" \u0085\u00a0\t\r\n;\v\f,\u1680\u2028\u2029\u202f\u205f\u3000", r) || r >= 0x2000 && r <= 0x200a {
					return -1
				}
				return r
			}, s)
		}
		if got := strings.Join(form.Values(text), ""); letters(got) != letters(text) {
			t.Fatalf("%q came out as %q", text, got)
		}
	})
}
