// Package storage is the book on disk: a bbolt file that holds every bow, its entries and the half-typed forms, and a
// journal beside it.
package storage
