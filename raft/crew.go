package raft

import "sync/atomic"

// crew relaxes states that were prepared, with one hand or with two, and hands them back in
// the order in which they were given.
type crew struct {
	desks, free []*desk
	line        []*desk    // given and not yet handed back
	given       chan *desk // to the other hand; nil without one
}

// desk is where a state is relaxed.
type desk struct {
	*swarm
	dice     dice // after the state was prepared
	prepared int  // steps of that
	e        float64
	stands   bool
	taken    atomic.Bool   // one of the hands has it
	done     chan struct{} // of the one that took it ahead
}

// ahead is how many states are relaxed ahead where there are two hands, so that neither
// waits where one state takes longer than the next.
const ahead = 3

func newCrew(g *ground, capacity, hands int) *crew {
	c := &crew{}
	for range 1 + ahead*(hands-1) {
		c.desks = append(c.desks, &desk{swarm: newSwarm(g, capacity), done: make(chan struct{}, 1)})
	}
	c.free = append(c.free, c.desks...)
	return c
}

// open calls the other hand, if there is one.
func (c *crew) open() {
	if len(c.desks) == 1 {
		return
	}
	given := make(chan *desk, 4*len(c.desks))
	c.given = given
	go func() {
		for d := range given {
			d.takeAhead()
		}
	}()
}

// close sends the other hand home.
func (c *crew) close() {
	if c.given != nil {
		close(c.given)
		c.given = nil
	}
}

// full says whether no desk is free.
func (c *crew) full() bool { return len(c.free) == 0 }

// give lays a prepared state on a free desk.
func (c *crew) give(w *swarm, dice dice, prepared int) {
	d := c.free[len(c.free)-1]
	c.free = c.free[:len(c.free)-1]
	c.line = append(c.line, d)
	d.n, d.target, d.work, d.dice, d.prepared = w.n, w.target, 0, dice, prepared
	copy(d.v, w.v[:w.n])
	d.stop.Store(false)
	d.taken.Store(false)
	select {
	case c.given <- d:
	default: // it is relaxed when it is wanted
	}
}

// takeAhead relaxes a state that none has taken.
func (d *desk) takeAhead() bool {
	if !d.taken.CompareAndSwap(false, true) {
		return false
	}
	d.e, d.stands = d.relax()
	d.done <- struct{}{}
	return true
}

// next hands back the state that was given first, relaxed. While the other hand has it, later
// ones are relaxed.
func (c *crew) next() *desk {
	d := c.line[0]
	d.takeAhead()
	for _, later := range c.line[1:] {
		if len(d.done) == 1 {
			break
		}
		later.takeAhead()
	}
	<-d.done
	c.line = append(c.line[:0], c.line[1:]...)
	c.free = append(c.free, d)
	return d
}

// drop throws away what was given.
func (c *crew) drop() {
	for _, d := range c.line {
		if !d.taken.CompareAndSwap(false, true) {
			d.stop.Store(true)
			<-d.done
		}
	}
	c.free = append(c.free, c.line...)
	c.line = c.line[:0]
}
