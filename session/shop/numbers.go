package shop

import (
	"cmp"
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/session"
)

// nextNumber is a number that no bow of the book ever had, also none from which it was taken again.
func (s *Shop) nextNumber(settings finish.Settings) (string, error) {
	rows, err := s.rows()
	var given []string
	for _, row := range rows {
		err = cmp.Or(err, row.Damage)
		given = append(given, row.Numbers...)
	}
	if err != nil {
		return "", fmt.Errorf("no number was given, since not every bow of the book can be read: %w", err)
	}
	return settings.Number.Next(given, s.Here(), s.options.Entropy)
}

// numbered are the bows of the book, other than the one with this id, that have or had one of the numbers.
func (s *Shop) numbered(numbers []string, except string) (bows []model.Bow) {
	taken := make(map[string]bool)
	for _, number := range numbers {
		taken[finish.PlainNumber(number)] = true
	}
	delete(taken, "")
	if len(taken) == 0 {
		return nil
	}
	rows, _ := s.rows()
	for _, row := range rows {
		had := func(number string) bool { return taken[finish.PlainNumber(number)] }
		if row.Bow.ID != except && slices.ContainsFunc(row.Numbers, had) {
			bows = append(bows, row.Bow)
		}
	}
	return bows
}

// checkNumber refuses a number by hand that another bow has or had.
func (s *Shop) checkNumber(bow model.Bow) error {
	if by := s.numbered([]string{bow.Number}, bow.ID); len(by) > 0 {
		return &model.FieldError{Field: "number", Want: fmt.Sprintf(
			"%s is the number of %s; a number is never given twice", bow.Number, session.NameOf(by[0]))}
	}
	return nil
}
