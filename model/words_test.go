package model_test

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// longest is the most words in a sentence that a user reads.
const longest = 14

// longSentences may be longer; each with its reason.
var longSentences = []string{
	"bendbook log ash pull 24 41", // a command as it is typed
}

var (
	sentenceEnd = regexp.MustCompile(`[.!?:;]+(\s|$)|\n`)
	aWord       = regexp.MustCompile(`[a-z]{3}`)
	vowels      = regexp.MustCompile(`[aeiouy]+`)
)

// A bowyer reads every sentence of the program at a glance.
func TestSentencesAreShort(t *testing.T) {
	said := sentences(t, sentenceEnd, "ui", "session", "storage", "model/finish", "model/order", "model/measure")
	for _, s := range said {
		excused := slices.ContainsFunc(longSentences, func(begin string) bool {
			return strings.HasPrefix(s.text, begin)
		})
		if n := len(strings.Fields(s.text)); n > longest && !excused {
			t.Errorf("%s: %d words, at most %d: %s", s.at, n, longest, s.text)
		}
	}
	words, syllables := 0, 0
	var lengths []int
	for _, s := range said {
		fields := strings.Fields(s.text)
		lengths = append(lengths, len(fields))
		words += len(fields)
		for _, w := range fields {
			syllables += max(1, len(vowels.FindAllString(strings.ToLower(w), -1)))
		}
	}
	slices.Sort(lengths)
	n := float64(len(lengths))
	// Kincaid et al. 1975, from memory.
	grade := 0.39*float64(words)/n + 11.8*float64(syllables)/float64(words) - 15.59
	t.Logf("%d sentences, median %d words, longest %d, grade %.1f", len(lengths), lengths[len(lengths)/2],
		lengths[len(lengths)-1], grade)
}

type sentence struct{ at, text string }

// markup is what stands between the words of a page: a tag, or what a template does.
var markup = regexp.MustCompile(`(?s)<style>.*?</style>|<[^>]*>|\{\{(?:/\*|if|end|else|range|with|template|define).*?\}\}`)

// sentences are those in the string literals and pages of the packages, without tests and invented shops.
func sentences(t *testing.T, end *regexp.Regexp, folders ...string) (all []sentence) {
	t.Helper()
	add := func(at, text string) {
		for _, part := range end.Split(text, -1) {
			if len(strings.Fields(part)) >= 3 && aWord.MatchString(part) {
				all = append(all, sentence{at, strings.TrimSpace(part)})
			}
		}
	}
	for _, folder := range folders {
		pages, err := filepath.Glob(filepath.Join("..", folder, "*", "*.html"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range pages {
			page, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			add(path, markup.ReplaceAllString(strings.ReplaceAll(string(page), "\n", " "), "\n"))
		}
	}
	eachFile(t, func(path string, set *token.FileSet, file *ast.File) {
		if strings.HasSuffix(path, "_test.go") || strings.Contains(path, "/booktest/") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if field, ok := n.(*ast.Field); ok && field.Tag != nil {
				return false
			}
			expr, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			text, ok := literal(expr)
			add(set.Position(n.Pos()).String(), text)
			return !ok
		})
	}, folders...)
	return all
}

// literal is a string as it stands in the code, pieces that are added to it as one word.
func literal(expr ast.Expr) (text string, ok bool) {
	switch e := expr.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			text, err := strconv.Unquote(e.Value)
			return text, err == nil
		}
	case *ast.ParenExpr:
		return literal(e.X)
	case *ast.BinaryExpr:
		left, isText := literal(e.X)
		right, alsoText := literal(e.Y)
		if e.Op == token.ADD && (isText || alsoText) {
			return orWord(isText, left) + orWord(alsoText, right), true
		}
	}
	return "", false
}

// orWord is the text, or one word in place of what is not text.
func orWord(isText bool, text string) string {
	if isText {
		return text
	}
	return "X"
}
