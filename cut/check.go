package cut

import (
	"errors"
	"fmt"
	"math"

	"raftwright/unit"
)

const (
	longest      = unit.Kilometre // of a board
	longestSheet = 100 * unit.Metre
)

// check names every fault in the figures of a job.
func (j Job) check() error {
	var faults []error
	say := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if j.Kerf != nil && !(*j.Kerf >= 0 && *j.Kerf <= unit.Inch) {
		say("kerf: a saw cut is from 0 to 1 in wide, for example 1/8 in")
	}
	if !(j.Trim >= 0 && j.Trim <= longest) {
		say("trim: must be 0 or more, for example 1/2 in")
	}
	if len(j.Pieces) == 0 {
		say("pieces: give at least one, with its length and count")
	}
	if len(j.Stock)+len(j.OnHand) == 0 {
		say("stock: give at least one board length that the store sells")
	}
	if len(j.Stock)+len(j.OnHand) > MaxStock {
		say("stock: %d kinds of board; at most %d can be planned", len(j.Stock)+len(j.OnHand), MaxStock)
	}
	if len(j.Pieces) > MaxKinds {
		say("pieces: %d lines; at most %d can be planned in one job", len(j.Pieces), MaxKinds)
	}
	total := 0
	for i, p := range j.Pieces {
		if !sane(p.Length, longest) {
			say("piece %d %q: the length must be more than 0 and at most 1 km, for example 97 in", i+1, p.Name)
		}
		if p.Count < 1 {
			say("piece %d %q: the count must be 1 or more", i+1, p.Name)
		}
		total = min(total+min(max(p.Count, 0), MaxPieces+1), MaxPieces+1)
	}
	if total > MaxPieces {
		say("pieces: more than %d; split the job", MaxPieces)
	}
	checkStock(j.Stock, "stock", say)
	checkStock(j.OnHand, "on hand", say)
	checkPrices(j.Stock, say)
	return errors.Join(faults...)
}

func sane(l, most unit.Length) bool {
	return l > 0 && l <= most && math.Round(float64(l)*1e9) >= 1
}

const priciest = 1_000_000_000

func checkStock(list []Stock, what string, say func(string, ...any)) {
	for i, s := range list {
		if !sane(s.Length, longest) {
			say("%s %d %q: the length must be more than 0 and at most 1 km, for example 8 ft", what, i+1, s.Name)
		}
		if s.Count < 0 {
			say("%s %d %q: the count must be 1 or more, or left out", what, i+1, s.Name)
		}
		if s.Price < 0 || s.Price > priciest {
			say("%s %d %q: the price must be 0 or more and sensible", what, i+1, s.Name)
		}
	}
}

func checkPrices(list []Stock, say func(string, ...any)) {
	priced := 0
	for _, s := range list {
		if s.Price > 0 {
			priced++
		}
	}
	if priced > 0 && priced < len(list) {
		say("stock: give every board a price or none; a free board is one on hand")
	}
}
