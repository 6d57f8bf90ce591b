package raft

func densest(p plot, s float64, lattice []xy, bound int) ([]xy, bool) { return lattice, false }
