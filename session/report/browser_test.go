package report

import (
	"context"
	"fmt"
	"math"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// browser is a browser without a window, with an ear for what it complains of and asks for.
type browser struct {
	context.Context
	mu    sync.Mutex
	said  []string // on the console, exceptions, breaches of the policy
	asked []string // addresses that were asked for
}

// openBrowser finds a browser; the test is skipped where there is none.
func openBrowser(t *testing.T) *browser {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		t.Skip("there is no chromium here to open the pages in; .ci/run installs it where it can")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // which chromium cannot have as root
	}
	start, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	tab, closeTab := chromedp.NewContext(start)
	t.Cleanup(closeTab)
	b := &browser{}
	var cancel context.CancelFunc
	b.Context, cancel = context.WithTimeout(tab, 2*time.Minute)
	t.Cleanup(cancel)
	chromedp.ListenTarget(b.Context, func(event any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		switch e := event.(type) {
		case *cdplog.EventEntryAdded:
			b.said = append(b.said, e.Entry.Text)
		case *runtime.EventConsoleAPICalled:
			b.said = append(b.said, fmt.Sprint(e.Type))
		case *runtime.EventExceptionThrown:
			b.said = append(b.said, e.ExceptionDetails.Error())
		case *cdppage.EventJavascriptDialogOpening:
			b.said = append(b.said, "dialog: "+e.Message)
		case *network.EventRequestWillBeSent:
			b.asked = append(b.asked, e.Request.URL)
		}
	})
	if err := chromedp.Run(b, cdplog.Enable(), network.Enable(), runtime.Enable()); err != nil {
		t.Fatalf("starting %s: %v", path, err)
	}
	return b
}

// view is a way to look at a page.
type view struct {
	name   string
	width  int64
	scheme string
}

var views = []view{
	{"phone-light", 360, "light"}, {"phone-dark", 360, "dark"},
	{"wide-light", 1280, "light"}, {"wide-dark", 1280, "dark"},
}

// open shows a page; it fails on anything that the browser complains of and on anything it loads beside the
// page.
func (b *browser) open(t *testing.T, file string, v view) {
	t.Helper()
	address := (&url.URL{Scheme: "file", Path: file}).String()
	b.mu.Lock()
	b.said, b.asked = nil, nil
	b.mu.Unlock()
	scheme := emulation.MediaFeature{Name: "prefers-color-scheme", Value: v.scheme}
	err := chromedp.Run(b,
		emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{&scheme}),
		emulation.SetDeviceMetricsOverride(v.width, 800, 1, v.width < 600),
		chromedp.Navigate(address))
	if err != nil {
		t.Fatalf("opening %s: %v", file, err)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.said) > 0 {
		t.Errorf("%s: the browser complains: %q", v.name, b.said)
	}
	if len(b.asked) != 1 || b.asked[0] != address {
		t.Errorf("%s: it asked for %q, want the page alone", v.name, b.asked)
	}
}

// seen is what a page looks like in the browser.
type seen struct {
	Width    float64 // of the page with all that sticks out of it
	Scripts  int
	Pictures []struct {
		Width, Height float64
		Role          string
		Title, Says   string
		Letters       float64 // the smallest size of its letters, in CSS pixels
		Outside       int     // labels that stick out of it
	}
	Contrast []struct {
		What  string
		Ratio float64
	}
	Children int // of the body
}

// lookScript is the script by which the test, not the page, looks.
const lookScript = `(() => {
  const rgb = c => c.match(/[\d.]+/g).slice(0, 3).map(Number);
  const lum = c => { const [r, g, b] = rgb(c).map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4) }); return 0.2126 * r + 0.7152 * g + 0.0722 * b };
  const ratio = (a, b) => { const [x, y] = [lum(a), lum(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05) };
  const paper = getComputedStyle(document.body).backgroundColor;
  const contrast = [];
  for (const what of ['h1', '.lead', '.words', '.figures .name', '.figures .value', 'dt', 'dd', 'th', 'td', 'summary', 'footer'])
    for (const e of [...document.querySelectorAll(what)].slice(0, 1)) contrast.push({What: what, Ratio: ratio(getComputedStyle(e).color, paper)});
  for (const line of ['s0', 's1', 's2', 's3', 's4', 'aim', 'finding'])
    for (const e of [...document.querySelectorAll('.picture path.' + line)].slice(0, 1)) contrast.push({What: 'line ' + line, Ratio: ratio(getComputedStyle(e).color, paper) * 1.5});
  return {
    Width: document.documentElement.scrollWidth,
    Scripts: document.scripts.length + document.querySelectorAll('iframe, object, embed, link, img, form, base').length +
      [...document.querySelectorAll('*')].filter(e => [...e.attributes].some(a => a.name.startsWith('on') || /^\s*javascript:/i.test(a.value))).length,
    Pictures: [...document.querySelectorAll('svg.picture')].map(s => { const r = s.getBoundingClientRect(); return {
      Width: r.width, Height: r.height, Role: s.getAttribute('role'), Title: s.querySelector('title').textContent, Says: s.querySelector('desc').textContent,
      Letters: 12 * r.width / s.viewBox.baseVal.width,
      Outside: [...s.querySelectorAll('text')].filter(e => { const b = e.getBoundingClientRect(); return b.left < r.left - 1 || b.right > r.right + 1 || b.top < r.top - 1 || b.bottom > r.bottom + 1 }).length,
    }}),
    Contrast: contrast, Children: document.body.children.length,
  };
})()`

func (b *browser) look(t *testing.T) seen {
	t.Helper()
	var s seen
	if err := chromedp.Run(b, chromedp.Evaluate(lookScript, &s)); err != nil {
		t.Fatal(err)
	}
	return s
}

// papers are the sizes that a page is printed on, in inches (ISO 216; ANSI/ASME Y14.1).
var papers = map[string][2]float64{"A4": {210 / 25.4, 297 / 25.4}, "Letter": {8.5, 11}}

var pdfPage = regexp.MustCompile(`/Type\s*/Page[^s]`)

// sheets prints the page and counts its sheets.
func (b *browser) sheets(t *testing.T, paper string) int {
	t.Helper()
	var pdf []byte
	err := chromedp.Run(b, chromedp.ActionFunc(func(ctx context.Context) (err error) {
		pdf, _, err = cdppage.PrintToPDF().WithPaperWidth(papers[paper][0]).WithPaperHeight(papers[paper][1]).WithPreferCSSPageSize(false).
			WithMarginTop(0.5).WithMarginBottom(0.5).WithMarginLeft(0.55).WithMarginRight(0.55).Do(ctx)
		return err
	}))
	if err != nil {
		t.Fatalf("printing: %v", err)
	}
	return len(pdfPage.FindAll(pdf, -1))
}

// saved puts a page into a file.
func saved(t *testing.T, name, html string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name+".html")
	if err := os.WriteFile(file, []byte(html), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestTheDemoShopsPagesInABrowser opens each bow's summary and tally sheet as a customer and a bowyer would:
// on a phone and on a wide screen, light and dark, and on paper.
func TestTheDemoShopsPagesInABrowser(t *testing.T) {
	b := openBrowser(t)
	for i, story := range demoStories(t) {
		name := Filename(story.Bow().Name, "bow")
		for _, sight := range []struct {
			kind, html string
			views      []view
			paper      string
		}{
			{"story", pageOf(t, story, 0), []view{views[i%4], views[(i+3)%4]}, "A4"},
			{"last", pageOf(t, story, len(story.Sessions)), []view{views[(i+1)%4]}, "Letter"},
			{"tally", tallyOf(t, story), []view{views[(i+2)%4]}, []string{"A4", "Letter"}[i%2]},
		} {
			where := name + "-" + sight.kind
			file := saved(t, where, sight.html)
			for _, v := range sight.views {
				b.open(t, file, v)
				judge(t, where+"-"+v.name, v, b.look(t), sight.kind != "tally")
			}
			most := 2
			if sight.kind == "last" {
				most = 3 // its readings stand open
			}
			if n := b.sheets(t, sight.paper); n < 1 || n > most {
				t.Errorf("%s: %d sheets of %s; want %d at most", where, n, sight.paper, most)
			}
			b.print(t, file, papers[sight.paper], where)
		}
	}
}

// printed is what paper shows: the smallest letters (pt), and how far text sticks out to the right and below (px).
type printed struct{ Letters, Right, Below float64 }

const printScript = `(() => {
  let letters = 99, right = 0, below = 0;
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement, range = document.createRange();
    range.selectNode(walk.currentNode);
    const r = range.getBoundingClientRect(), svg = e.closest('svg');
    if (!walk.currentNode.data.trim() || !r.width || e.closest('title, desc, style')) continue;
    const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
    letters = Math.min(letters, parseFloat(getComputedStyle(e).fontSize) * scale * 0.75);
    right = Math.max(right, r.right - document.documentElement.clientWidth), below = Math.max(below, r.bottom);
  }
  return {Letters: letters, Right: right, Below: below};
})()`

// print looks at the page as paper of a size (in) shows it: letters of 7.5 pt and more, nothing cut at the side.
func (b *browser) print(t *testing.T, file string, paper [2]float64, where string) (p printed) {
	t.Helper()
	b.open(t, file, views[2])
	margins := 1.1 // both sides (in)
	if strings.Contains(where, "card") {
		margins = 0
	}
	err := chromedp.Run(b, emulation.SetEmulatedMedia().WithMedia("print"),
		emulation.SetDeviceMetricsOverride(int64(math.Ceil(96*(paper[0]-margins))), int64(96*paper[1]), 1, false),
		chromedp.Evaluate(printScript, &p), emulation.SetEmulatedMedia().WithMedia(""))
	if err != nil {
		t.Fatal(err)
	}
	if p.Letters < 7.5 || p.Right > 1 {
		t.Errorf("%s: printed, its smallest letters have %.1f pt, and text sticks out by %.0f px", where, p.Letters, p.Right)
	}
	return p
}

// TestTheCardIsOneSheet of A5 or half a Letter, whatever the bow is kept in, with nothing cut off; and it can be
// read on a phone.
func TestTheCardIsOneSheet(t *testing.T) {
	b := openBrowser(t)
	for _, story := range demoStories(t) {
		where := Filename(story.Bow().Name, "bow") + "-card"
		of := subject(story, 0)
		of.Finishing.Settings.Card.Maker, of.Finishing.Settings.Card.Contact = "Wren & Sons", "the mill by the ford"
		a, err := of.Practice.Of(story)
		must(t, err)
		file := saved(t, where, page(t, Card(story, of.Finishing, &a)))
		b.open(t, file, views[1])
		judge(t, where, views[1], b.look(t), false)
		if n := b.sheets(t, "Letter"); n != 1 {
			t.Errorf("%s: %d sheets", where, n)
		}
		for _, paper := range [][2]float64{{210 / 25.4, 148 / 25.4}, {8.5, 5.5}} {
			if p := b.print(t, file, paper, where); p.Below > 96*paper[1] {
				t.Errorf("%s: text ends %.0f px down a sheet of %v", where, p.Below, paper)
			}
		}
	}
}

// judge holds what is seen against what can be read: nothing wider than the window, letters of 11 px and more,
// contrast of 4.5:1 for text and 3:1 for lines (WCAG 2.2, 1.4.3 and 1.4.11).
func judge(t *testing.T, where string, v view, s seen, pictures bool) {
	t.Helper()
	if s.Width > float64(v.width) {
		t.Errorf("%s: the page is %.0f px wide", where, s.Width)
	}
	if s.Scripts > 0 {
		t.Errorf("%s: %d elements that a page must not have", where, s.Scripts)
	}
	if pictures && len(s.Pictures) == 0 {
		t.Errorf("%s: no pictures", where)
	}
	for _, p := range s.Pictures {
		if p.Width < 300 || p.Height < 110 || p.Role != "img" || p.Title == "" || len(p.Says) < 40 ||
			p.Letters < 11 || p.Outside > 0 {
			t.Errorf("%s: a picture like %+v", where, p)
		}
	}
	for _, c := range s.Contrast {
		if c.Ratio < 4.5 {
			t.Errorf("%s: the contrast of %s is %.2f", where, c.What, c.Ratio)
		}
	}
}

// TestHostileTextInABrowser opens bows with such texts in every field: no script runs, nothing is loaded.
func TestHostileTextInABrowser(t *testing.T) {
	b := openBrowser(t)
	for i := 0; i < len(hostile); i += 4 { // the structure of all is compared without a browser
		b.open(t, saved(t, "hostile", pageOf(t, storyOf(t, bowOf(t, hostile[i])), 0)), views[0])
		s := b.look(t)
		judge(t, hostile[i], views[0], s, true)
		if s.Children != 3 {
			t.Errorf("%q: the body has %d parts; want head, main and foot", hostile[i], s.Children)
		}
	}
}
