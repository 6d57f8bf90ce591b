package chem

import "raftwright/source"

// Sources lists what the figures of this package rest on, in the order in which
// a computation uses them.
func Sources() []source.ID {
	return []source.ID{AtomicWeightSource, databaseSource, carbonateSource, citrateSource, activitySource, solidSource, struviteSource,
		diffusionSource, mccleskeySource, limitingSource, viscositySource, oxygenSource}
}
