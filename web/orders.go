package web

import "sort"

// rowOrders are the numbers that the rows of a table have in the store, in their order. Rows that were added one after the other have numbers that follow each other: of those stand
// the first and how many rows come before it. Of ten years that were brought in that is nothing, and 8 bytes a row less.
type rowOrders struct {
	runs []orderRun
	n    int // rows
}

type orderRun struct {
	first  int64
	before int // rows before this one
}

// add notes the next row; its number is higher than those before.
func (o *rowOrders) add(order int64) {
	if last := len(o.runs) - 1; last < 0 || o.runs[last].first+int64(o.n-o.runs[last].before) != order {
		o.runs = append(o.runs, orderRun{order, o.n})
	}
	o.n++
}

// of gives the number of a row that there is.
func (o *rowOrders) of(row int) int64 {
	r := o.runs[sort.Search(len(o.runs), func(i int) bool { return o.runs[i].before > row })-1]
	return r.first + int64(row-r.before)
}

// find gives the row of a number; where none has it, the one before which it would stand.
func (o *rowOrders) find(order int64) (row int, there bool) {
	i := sort.Search(len(o.runs), func(i int) bool { return o.runs[i].first > order }) - 1
	if i < 0 {
		return 0, false
	}
	end := o.n // of the run
	if i+1 < len(o.runs) {
		end = o.runs[i+1].before
	}
	row = o.runs[i].before + int(min(order-o.runs[i].first, int64(end-o.runs[i].before)))
	return row, row < end
}

// shift moves all numbers up.
func (o *rowOrders) shift(by int64) {
	for i := range o.runs {
		o.runs[i].first += by
	}
}
