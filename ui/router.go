package ui

import "fmt"

// pages are all screens, those with a key at the bench in the order of its keys. A new one gets a line here.
func pages() []page {
	return []page{
		rackPage(), comparePage(), settingsPage(),
		benchPage(), formPage(), holdPage(),
		storyPage(), advicePage(), planPage(), whatIfPage(), finishPage(), entriesPage(), summaryPage(),
		cardPage(),
	}
}

func screenAt(d *Desk, to route) (screen, error) {
	if to.bow != "" {
		var err error
		if to.work, err = d.work(to.bow); err != nil {
			return nil, err
		}
	}
	for _, p := range pages() {
		if p.name == to.page {
			s, err := p.open(d, to)
			if err == nil {
				s.isOf(p)
			}
			return s, err
		}
	}
	return nil, fmt.Errorf("there is no screen called %q", to.page)
}

// doors are the keys at the bench that open other screens on its bow.
func doors(w *work) []action {
	var all []action
	for _, p := range pages() {
		if p.key.keys == "" {
			continue
		}
		key := p.key
		key.do = func() move { return move{open: route{page: p.name, work: w}} }
		if p.off != nil {
			key.off = func() string { return p.off(w) }
		}
		all = append(all, key)
	}
	return all
}
