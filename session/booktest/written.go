package booktest

import (
	"strings"
	"testing"

	"bendbook/model/record"
)

// Written is a record as export writes it.
func Written(t testing.TB, rec record.Record) string {
	t.Helper()
	var b strings.Builder
	if err := record.Write(&b, rec); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
