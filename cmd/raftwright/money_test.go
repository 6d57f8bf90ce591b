package main

import (
	"math"
	"strings"
	"testing"
)

// Money adds up to the cent, by hand: what is bought once makes the first cost,
// the shares of a crop its cost, and the heads sold the break-even price.
func TestMoneyAddsUp(t *testing.T) {
	for name, brief := range briefs(t) {
		d := ask(t, brief, "cost")
		once, shares := 0.0, 0.0
		for _, x := range d.list(t, "lines") {
			l := document(x.(map[string]any))
			price := l.number(t, "quantity") * l.number(t, "unit_price")
			if got := l.number(t, "price"); math.Abs(got-price) > 0.011 {
				t.Errorf("%s: %v costs %.3f, but %g at %g", name, l["item"], got, l.number(t, "quantity"), l.number(t, "unit_price"))
			}
			if l["once"] == true {
				once += l.number(t, "price")
			}
			shares += l.number(t, "per_crop")
		}
		first, crop, sold := d.number(t, "first_cost"), d.number(t, "per_crop_cost"), d.number(t, "heads_sold")
		if math.Abs(first-once) > 0.02 {
			t.Errorf("%s: the first cost is %.2f, what is bought once %.2f", name, first, once)
		}
		if math.Abs(crop-shares) > 0.05 {
			t.Errorf("%s: a crop costs %.2f, its shares sum to %.2f", name, crop, shares)
		}
		if got := d.number(t, "break_even_price"); !within(got, crop/sold, 1e-6) {
			t.Errorf("%s: break-even at %.4f, not %.4f", name, got, crop/sold)
		}
	}
}

// The boards on the shopping list are those that the cutting buys.
func TestShoppingBuysTheBoardsOfTheCutting(t *testing.T) {
	for name, brief := range briefs(t) {
		d := ask(t, brief, "plan")
		boards := 0.0
		for _, x := range d.list(t, "shopping") {
			l := document(x.(map[string]any))
			if strings.Contains(l["item"].(string), " board, ") || strings.HasPrefix(l["item"].(string), "Tabla de ") {
				boards += l.number(t, "quantity")
			}
		}
		if got := d.number(t, "cut.boards_bought"); got != boards {
			t.Errorf("%s: %g boards to buy, %g on the shopping list", name, got, boards)
		}
	}
}

// Oxygen at the solution's warmth: Benson & Krause 1984 as in Standard Methods
// 4500-O, at the level of the sea; within 1 %.
func TestOxygenOfTheSolution(t *testing.T) {
	d := ask(t, sameMonths(30, 0, "tmax: 24 C, tmin: 14 C", map[int]string{1: "tmax: 12 C, tmin: 4 C", 7: "tmax: 34 C, tmin: 24 C"}), "season")
	for i := range 12 {
		m := document(d.list(t, "months")[i].(map[string]any))
		k := m.number(t, "pool_C") + 273.15
		want := math.Exp(-139.34411 + 1.575701e5/k - 6.642308e7/k/k + 1.2438e10/k/k/k - 8.621949e11/k/k/k/k)
		if got := m.number(t, "oxygen_mg_L"); !within(got, want, 0.01) {
			t.Errorf("month %d at %.2f C: %.3f mg/L, not %.3f", i+1, m.number(t, "pool_C"), got, want)
		}
	}
}
