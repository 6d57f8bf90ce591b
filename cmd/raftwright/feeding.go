package main

import "raftwright/plan"

// The commands on recipes of others and on beds with a wrong dose.
type (
	foundCmd struct{ reading }
	amissCmd struct{ reading }
)

// Run judges a recipe as found.
func (c foundCmd) Run(s streams) error { return c.answer(s, plan.Found) }

// Run puts a bed right.
func (c amissCmd) Run(s streams) error { return c.answer(s, plan.Amiss) }
