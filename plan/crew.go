package plan

import "sync"

// crew makes the stages of one plan: each when what it needs is made, first the one that
// most others wait for, and two side by side where two can be made. A stage is pure, so
// that no figure rests on who made it or when.
type crew struct {
	work
	want []bool
	out  []result

	mutex  sync.Mutex    // over all below, over the results, and over the brief's texts
	joined chan struct{} // closed when the helper has nothing left to do
	begun  []bool
	done   []bool
	helped bool    // there is a helper at work
	second *seeing // what a helper has at hand
	broken any     // our own mistake, met by the helper
}

// make makes all that is wanted. In the open, where stages see everything made before, they
// are made one by one in their order.
func (c *crew) make() {
	c.begun, c.done = make([]bool, len(c.out)), make([]bool, len(c.out))
	for i := range c.out {
		c.out[i].ready = &line()[i]
		c.begun[i], c.done[i] = !c.want[i], !c.want[i]
	}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	for seen := c.seeing(); ; {
		i := c.next()
		switch {
		case i >= 0:
			c.take(i, seen)
		case c.helped:
			joined := c.joined
			c.mutex.Unlock()
			<-joined
			c.mutex.Lock()
		case c.broken != nil:
			panic(c.broken)
		default:
			return
		}
	}
}

// help makes stages as long as there is one that can be made.
func (c *crew) help() {
	c.mutex.Lock()
	defer func() {
		if r := recover(); r != nil {
			c.broken = r
		}
		c.helped = false
		close(c.joined)
		c.mutex.Unlock()
	}()
	if c.second == nil {
		c.second = c.seeing()
	}
	for i := c.next(); i >= 0; i = c.next() {
		c.take(i, c.second)
	}
}

// next gives the stage to be made next, -1 where none can be.
func (c *crew) next() int {
	for n := range c.out {
		i := n
		if !c.open {
			i = byDepth()[n]
		}
		if c.begun[i] {
			continue
		}
		can := true
		for _, from := range line()[i].from {
			can = can && c.done[from]
		}
		if can {
			return i
		}
	}
	return -1
}

// take makes a stage, with the brief in which it sees what it reads. It is called, and left,
// with the mutex held.
func (c *crew) take(i int, seen *seeing) {
	c.begun[i] = true
	defer func() { c.done[i] = true }()
	s, r := c.out[i].ready, &c.out[i]
	if r.waits = c.waits(s, c.out); len(r.waits) > 0 {
		if s.aside {
			r.waits = nil
		}
		if s.names { // so that all that is wrong is told at once
			r.faults = c.do(s, nil, seen).faults
		}
		return
	}
	if c.memory == nil {
		r.made = c.apart(s, seen)
	} else {
		seen.key = c.key(seen.key[:0], s, c.out)
		known, is := c.memory.recall(i, seen.key)
		if !is {
			known.made = c.apart(s, seen)
		}
		if !is && c.Stop.Err() == nil { // what was stopped is not what the values give
			known = c.memory.keep(i, string(seen.key), known.made, s)
		}
		r.made, r.number = known.made, known.number
	}
	if r.faults = r.made.faults; len(r.faults) > 0 {
		r.made = nil
	}
	for _, f := range r.faults {
		r.waits = append(r.waits, f.Path)
	}
}

// apart does the work of a stage while others may be taken, by a helper where one can be.
func (c *crew) apart(s *ready, seen *seeing) *maker {
	if !c.open && !c.Alone && !c.helped && c.next() >= 0 {
		c.helped, c.joined = true, make(chan struct{})
		go c.help()
	}
	c.mutex.Unlock()
	defer c.mutex.Lock()
	return c.do(s, c.out, seen)
}
