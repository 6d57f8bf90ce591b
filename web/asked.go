package web

import (
	"net/http"

	"raftwright/store"
)

// Asks tells who sends a request that came in by a page: one's own computer, or whoever is signed in.
func (h *House) Asks(r *http.Request) (store.Who, error) { return h.asks(r) }
