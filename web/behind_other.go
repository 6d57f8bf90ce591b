//go:build !linux

package web

// stepBack lets the thread of whoever calls it go last, on a system that can do so for one thread.
func stepBack(bool) {}
