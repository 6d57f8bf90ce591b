package web

import (
	"net/http"

	"raftwright/plan"
	"raftwright/store"
)

// Asks tells who sends a request that came in by a page: one's own computer, or whoever is signed in.
func (h *House) Asks(r *http.Request) (store.Who, error) { return h.asks(r) }

// Memory gives what the last plan of a bed was made of.
func (h *House) Memory(bed string) *plan.Memory { return h.memory.of(bed, h.Now()) }
