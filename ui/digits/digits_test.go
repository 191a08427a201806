package digits_test

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"

	"bendbook/ui/digits"
)

var sizes = []digits.Size{digits.Large, digits.Small, digits.Narrow, digits.Huge, digits.HugeNarrow}

var update = flag.Bool("update", false, "write the golden pictures anew")

// TestGolden keeps the looks of all figures and of texts as they will be shown.
func TestGolden(t *testing.T) {
	var b strings.Builder
	for _, text := range []string{
		"0123456789", `.,:/-+_"'?`, "12 15/16", "16.3 kg", "28 in", "ABCDEFGHIJKLM", "NOPQRSTUVWXYZ", "6⅜ x", "",
	} {
		for _, ascii := range []bool{false, true} {
			for _, size := range sizes {
				b.WriteString("> " + text + "\n" + digits.Render(text, size, ascii) + "\n\n")
			}
		}
	}
	file := filepath.Join("testdata", "figures.txt")
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("figures differ from %s; got\n%s", file, b.String())
	}
}

// TestFiguresDiffer guards against a slip in the font: two that look alike.
func TestFiguresDiffer(t *testing.T) {
	seen := make(map[string]rune)
	for _, r := range "0123456789.,:/-+_\"'?bcgiklmnABCDEFGHIJKLMNOPQRSTUVWXYZ" {
		for _, size := range sizes {
			for _, ascii := range []bool{false, true} {
				picture := digits.Render(string(r), size, ascii)
				if other, ok := seen[picture]; ok {
					t.Errorf("%q looks like %q", r, other)
				}
				seen[picture] = r
			}
		}
	}
}

// TestRectangular: any text, even no text at all, fills its promised rectangle
// with cells of one width, and in ASCII with nothing else.
func TestRectangular(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.String(),
			rapid.StringMatching(`[0-9]{1,2} [0-9]{1,2}/[0-9]{1,2}`),
			rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }),
		).Draw(t, "text")
		size := rapid.SampledFrom(append(slices.Clone(sizes), -1, 7)).Draw(t, "size")
		ascii := rapid.Bool().Draw(t, "ascii")
		lines := strings.Split(digits.Render(text, size, ascii), "\n")
		if len(lines) != size.Rows() {
			t.Fatalf("%d lines, want %d", len(lines), size.Rows())
		}
		for _, line := range lines {
			if w := ansi.StringWidth(line); w != digits.Width(text, size) {
				t.Fatalf("%q is %d cells wide, want %d", line, w, digits.Width(text, size))
			}
			for _, r := range line {
				if ascii && r > '~' {
					t.Fatalf("%q in ASCII", r)
				}
			}
		}
	})
}

func TestFit(t *testing.T) {
	for _, c := range []struct {
		width, height int
		want          digits.Size
		ok            bool
	}{
		{80, 24, digits.Huge, true},
		{digits.Width("6 3/8", digits.Huge) - 1, 24, digits.HugeNarrow, true},
		{digits.Width("6 3/8", digits.Huge), 10, digits.Huge, true},
		{80, 9, digits.Large, true},
		{digits.Width("6 3/8", digits.Large), 5, digits.Large, true},
		{digits.Width("6 3/8", digits.Large) - 1, 5, digits.Narrow, true},
		{80, 4, digits.Small, true},
		{80, 2, digits.Small, false},
		{5, 24, digits.Small, false},
	} {
		got, ok := digits.Fit("6 3/8", c.width, c.height)
		if got != c.want || ok != c.ok {
			t.Errorf("Fit in %d×%d is %v %v, want %v %v", c.width, c.height, got, ok, c.want, c.ok)
		}
	}
}
