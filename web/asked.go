package web

import (
	"net/http"

	"raftwright/plan"
	"raftwright/store"
)

// Asks tells who sends a request that came in by a page: one's own computer, or whoever is signed in.
func (h *House) Asks(r *http.Request) (store.Who, error) { return h.asks(r) }

// From gives the address from which a request comes, as tries are counted.
func (h *House) From(r *http.Request) string { return h.address(r) }

// Memory gives what the last plan of a bed was made of.
func (h *House) Memory(bed string) *plan.Memory { return h.memory.of(bed, h.Now()) }

// Planned counts the plans that were made.
func (h *House) Planned() int64 { return h.memory.made.Load() }
