// Package session is one bow's story: its entries folded into passes and sittings, and what they say in
// words. A Story is a value that never changes; package shop adds entries to it and keeps the book.
package session
