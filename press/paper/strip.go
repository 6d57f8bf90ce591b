package paper

// strip is a piece of a page as wide as its column: a line of text, a row of a
// table, a figure. A page is strips one under another.
type strip struct {
	before  float64 // space above, left out at the top of a page
	height  float64
	keep    bool                         // stays on the page of the next strip
	draw    func(p *pen, x, top float64) // nil: white space
	head    []strip                      // printed first when this strip starts a page
	fresh   bool                         // starts a new page
	whole   bool                         // a sheet of its own, without margins and foot
	outline *outline
	name    string // where a figure in front leads, besides
	speaks  string // language of its section, where that is not the document's
}

// outline is an entry of the bookmarks.
type outline struct {
	title string
	level int
	id    string // where links of the contents lead
}

// placed is a strip with its place: the distance of its top from the top of
// the column.
type placed struct {
	strip
	y float64
}

// sheet is the strips of one page.
type sheet struct {
	strips []placed
	whole  bool
	from   int // the first of its strips in the chapter
	at     int // its place in the file, from 0
}

// depth is how far down a page its strips reach; a sheet of its own is full.
func (p sheet) depth() float64 {
	if n := len(p.strips); n > 0 {
		return p.strips[n-1].y + p.strips[n-1].height
	}
	return 0
}

// paginate cuts the strips into pages of the given usable height. Strips that
// keep together start a new page where the rest of the page is too small for
// them, and are cut all the same where a whole page is too small.
func paginate(strips []strip, height float64) []sheet {
	var pages []sheet
	now, y := sheet{}, 0.0
	turn := func() {
		if len(now.strips) > 0 {
			pages = append(pages, now)
		}
		now, y = sheet{}, 0
	}
	put := func(s strip) {
		if s.draw == nil && (len(now.strips) == 0 || y+s.before+s.height > height) {
			return // white space at either end of a page
		}
		if len(now.strips) > 0 {
			y += s.before
		}
		now.strips = append(now.strips, placed{s, y})
		y += s.height
	}
	for i := 0; i < len(strips); {
		if strips[i].whole {
			turn()
			pages = append(pages, sheet{strips: []placed{{strips[i], 0}}, whole: true, from: i})
			i++
			continue
		}
		if strips[i].fresh {
			turn()
		}
		end := chain(strips, i)
		if strips[i].draw == nil && end == i+1 {
			put(strips[i])
			i++
			continue
		}
		need := chainHeight(strips[i:end], len(now.strips) > 0)
		if len(now.strips) > 0 && y+need > height+0.01 {
			turn()
		}
		for ; i < end; i++ {
			if strips[i].draw == nil {
				put(strips[i])
				continue
			}
			if len(now.strips) > 0 && y+strips[i].before+strips[i].height > height+0.01 {
				turn()
			}
			if len(now.strips) == 0 {
				now.from = i
				for _, h := range strips[i].head {
					put(h)
				}
			}
			put(strips[i])
		}
	}
	turn()
	return pages
}

// chain gives the end of the run of strips that keep together from i.
func chain(strips []strip, i int) int {
	for i < len(strips)-1 && strips[i].keep && !strips[i+1].fresh && !strips[i+1].whole {
		i++
	}
	return i + 1
}

func chainHeight(strips []strip, below bool) float64 {
	sum := 0.0
	for i, s := range strips {
		if i > 0 || below {
			sum += s.before
		}
		sum += s.height
	}
	return sum
}

// together links strips so that they stay on one page.
func together(strips []strip) []strip {
	for i := range strips {
		if i < len(strips)-1 {
			strips[i].keep = true
		}
	}
	return strips
}

// again draws a head once more at the top of the next page, as decoration: it has been
// read where it stood first.
func again(s strip) strip {
	inner := s.draw
	s.before, s.keep = 0, true
	s.draw = func(p *pen, x, top float64) {
		p.mute = true
		inner(p, x, top)
		p.mute = false
	}
	return s
}

// stack makes one strip of several, for a place that cannot be cut.
func stack(strips []strip) strip {
	if len(strips) == 0 {
		return strip{}
	}
	inner := make([]placed, len(strips))
	y := 0.0
	for i, s := range strips {
		if i > 0 {
			y += s.before
		}
		inner[i] = placed{s, y}
		y += s.height
	}
	return strip{before: strips[0].before, height: y, draw: func(p *pen, x, top float64) {
		for _, s := range inner {
			if s.draw != nil {
				s.draw(p, x, top-s.y)
			}
		}
	}}
}

// moved draws a strip further right.
func moved(s strip, dx float64) strip {
	if inner := s.draw; inner != nil {
		s.draw = func(p *pen, x, top float64) { inner(p, x+dx, top) }
	}
	head := make([]strip, len(s.head))
	for i, h := range s.head {
		head[i] = moved(h, dx)
	}
	s.head = head
	return s
}
