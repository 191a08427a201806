package form

// Jump leaves what is typed at the current question unjudged and goes to where the next group begins, as the other limb does, or back to where
// this one begins or the one before.
func (f *Form) Jump(by int, text string) {
	f.saving = false
	s := f.Sheet
	s.Leave(text)
	begins := func(i int) bool { return i == 0 || s.Questions[i].Group != s.Questions[i-1].Group }
	for i := min(s.At(), len(s.Questions)) + by; i >= 0 && i < len(s.Questions); i += by {
		if begins(i) {
			s.Go(i)
			return
		}
	}
}
