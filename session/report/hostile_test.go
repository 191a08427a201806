package report

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// hostile are texts that would be run, or break a page, where they were taken for more than text: the usual
// ways into elements, attributes, styles, scripts and addresses (after OWASP's "XSS Filter Evasion Cheat
// Sheet").
var hostile = []string{
	`<script>alert(1)</script>`, `"><script>alert(1)</script>`, `'><img src=x onerror=alert(1)>`, `<img src="http://203.0.113.1/x.png">`,
	`<svg onload=alert(1)>`, `</title><script>alert(1)</script>`, `</style><script>alert(1)</script>`, `</svg><script>alert(1)</script>`,
	`</desc></svg><iframe src="javascript:alert(1)">`, `</text><script>alert(1)</script>`, `<style>body{display:none}</style>`, `<link rel=stylesheet href=//203.0.113.1/x.css>`,
	`<base href="http://203.0.113.1/">`, `<meta http-equiv=refresh content="0;url=http://203.0.113.1/">`, `<form action=//203.0.113.1><input autofocus onfocus=alert(1)>`,
	`javascript:alert(1)`, `" onmouseover="alert(1)`, `' onmouseover='alert(1)`, "` onmouseover=alert(1)", `{{.}}{{template "table"}}`, `${alert(1)}`,
	`--><script>alert(1)</script><!--`, `]]><script>alert(1)</script>`, `<!--`, `<![CDATA[`, `&lt;script&gt;alert(1)&lt;/script&gt;`, `&#60;script&#62;`,
	`<details open ontoggle=alert(1)>`, `<math><mi xlink:href="javascript:alert(1)">`, `</details></section></main></body></html>`, `<table><tr><td>`,
	"\u202e<script>alert(1)</script>", "\x00<script>\x00alert(1)</script>", `<scr<script>ipt>alert(1)</scr</script>ipt>`, `%3Cscript%3Ealert(1)%3C/script%3E`,
	`+ADw-script+AD4-alert(1)+ADw-/script+AD4-`, "\ufeff<script>", strings.Repeat("W", 390), strings.Repeat("<b>", 120), `url(javascript:alert(1))`, `expression(alert(1))`,
}

// bowOf is a record in which every text is as given, and every kind of entry stands.
func bowOf(t testing.TB, text string) []byte {
	t.Helper()
	quoted, err := json.Marshal(text)
	must(t, err)
	x, kind := string(quoted), string(quoted)
	if len(text) > 200 {
		kind = `"steamed"` // longer than a kind may be
	}
	limb := `{"length":34,"stations":[6,8,12,16,20,24,28,32]}`
	rows := func(step float64) string {
		var row []string
		for i := range 8 {
			row = append(row, fmt.Sprintf("%.3f", step*float64((i+1)*(i+1))))
		}
		return strings.Join(row, ",")
	}
	entry := func(id int, rest string) string {
		return fmt.Sprintf(`{"id":"%d","at":"2027-01-10T09:%02d:00Z",%s}`, id, id, rest)
	}
	entries := []string{
		entry(1, `"kind":"relaxed","upper":[0,0,0],"lower":[0,0,0]`),
		entry(2, `"kind":"braced","height":6,"from":"string","upper":[5.75,5.5,5,4.5,3.75,3,2,0.5],"lower":[5.5,5.25,4.75,4.5,3.75,3,2,0.5]`),
		entry(3, `"kind":"pull","draw":16,"peak":30,"from":"line","upper":[`+rows(.1)+`],"lower":[`+rows(.11)+`]`),
		entry(4, `"kind":"scrape","limb":"upper","from":6,"to":12,"strokes":12,"tool":`+x),
		entry(5, `"kind":"pull","draw":16,"peak":28,"from":"line","upper":[`+rows(.11)+`],"lower":[`+rows(.11)+`]`),
		entry(6, `"kind":"finish","step":`+x), entry(7, `"kind":"note","text":`+x), entry(8, `"kind":"void","entry":"7","why":`+x),
		entry(9, `"kind":"note","text":`+x), entry(10, `"kind":"rack","in_hand":false,"why":`+x), entry(11, `"kind":`+kind),
		entry(12, `"kind":"bow","set":{"wood":`+x+`}`),
	}
	return []byte(`{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":` + x +
		`,"name":` + x + `,"wood":` + x + `,"number":` + x + `,"handle":4,"limbs":{"upper":` + limb + `,"lower":` + limb +
		`},"order":{"for":` + x + `,"draw":28,"weight":40},"aim":{"bend":` + x + `,"tiller_at":8,"tiller":0.25},` +
		`"readings":{"rule":0.0625,"scale":0.1}},"entries":[` + strings.Join(entries, ",") + `]}`)
}

var tag = regexp.MustCompile(`<[!/a-zA-Z][^>]*>`)

// TestHostileTextIsTextOnThePage puts each text into every field of a bow. The page must have just the
// elements, with just the attributes, that it has with a harmless one.
func TestHostileTextIsTextOnThePage(t *testing.T) {
	pages := func(text string) []string {
		story := storyOf(t, bowOf(t, text))
		card := Card(story, subject(story, 0).Finishing, nil)
		return []string{pageOf(t, story, 0), tallyOf(t, story), page(t, card)}
	}
	harmless := pages("plain words")
	if !strings.Contains(harmless[0], "<svg") || strings.Count(harmless[0], "plain words") < 10 {
		t.Fatal("the bow that is to be spoilt is not told")
	}
	for _, text := range hostile {
		for i, html := range pages(text) {
			got, want := tag.FindAllString(html, -1), tag.FindAllString(harmless[i], -1)
			if !slices.Equal(got, want) {
				extra := slices.DeleteFunc(got, func(tag string) bool { return slices.Contains(want, tag) })
				t.Errorf("%q: page %d has other elements than it should, such as %q", text, i, extra)
			}
			if strings.ContainsAny(html, "\x00\u202e") {
				t.Errorf("%q: page %d holds characters that steer", text, i)
			}
		}
	}
}
