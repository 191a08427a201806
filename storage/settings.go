package storage

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"
)

// Settings are the shop's settings as they were kept last; ok is false where none were.
func (b *Book) Settings() (doc []byte, ok bool, err error) {
	l, err := b.lastSettings("reading the shop's settings in")
	return l.Settings, l.Settings != nil, err
}

// lastSettings is the line of the settings that were kept last.
func (b *Book) lastSettings(doing string) (l line, err error) {
	err = b.view(doing, func(tx *bbolt.Tx) error {
		key, value := bucket(tx, settingsBucket).Cursor().Last()
		if key == nil {
			return nil
		}
		return unseal(value, startOfSettings(string(key)), &l)
	})
	return l, err
}

func startOfSettings(key string) string { return `"key":"` + key + `"` }

// KeepSettings keeps the shop's settings. Those before stay in the book.
func (b *Book) KeepSettings(doc []byte) error {
	const doing = "keeping the shop's settings in"
	last, err := b.lastSettings(doing)
	if err != nil {
		return err
	}
	if !json.Valid(doc) {
		err = errors.New("they are no JSON")
	}
	n, _ := strconv.Atoi(last.Key) // 0 before the first
	return b.save(doing, []line{{Key: fmt.Sprintf("%06d", n+1), Settings: doc}}, err, "")
}
