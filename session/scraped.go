package session

import "slices"

// UsualTool is what is taken for the tool before any was named, as a record has it.
const UsualTool = "scraper"

// Scraped are the stories of bows of a wood on which strokes were counted, the last worked on first, most of them at
// the most. Damaged bows are left out; the error comes only where nothing can be read.
func (s *Shop) Scraped(wood string, most int) ([]Story, error) {
	rows, err := s.rows()
	if len(rows) == 0 && err != nil {
		return nil, err
	}
	kind := KindOfWood(wood)
	rows = slices.DeleteFunc(rows, func(row *Row) bool {
		return row.Damage != nil || row.Strokes == 0 || row.Pass == 0 || KindOfWood(row.Bow.Wood) != kind
	})
	slices.SortStableFunc(rows, func(a, b *Row) int { return b.Last.Compare(a.Last) })
	var all []Story
	for _, row := range rows[:min(most, len(rows))] {
		if story, err := s.Story(row.Bow.ID); err == nil {
			all = append(all, story)
		}
	}
	return all, nil
}
