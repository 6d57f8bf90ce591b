package mix

import "raftwright/finding"

// Faults of a shelf, a target or a recipe: with these no mix can be worked out.
// Their paths are keys of the brief.
const (
	FaultNoName    finding.ID = "mix.fault.no_name"
	FaultSameName  finding.ID = "mix.fault.same_name"
	FaultNothing   finding.ID = "mix.fault.nothing"  // neither label nor formula
	FaultBoth      finding.ID = "mix.fault.both"     // label and formula
	FaultFormula   finding.ID = "mix.fault.formula"  // of no salt that can be
	FaultForms     finding.ID = "mix.fault.forms"    // of nitrogen, beside the grade
	FaultTwice     finding.ID = "mix.fault.twice"    // grade and element do not agree
	FaultChelated  finding.ID = "mix.fault.chelated" // more than all iron
	FaultNitrogen  finding.ID = "mix.fault.nitrogen" // more than any compound holds
	FaultOverfull  finding.ID = "mix.fault.overfull" // more than the whole bag
	FaultStock     finding.ID = "mix.fault.stock"    // a volume without a ratio, or the other way
	FaultPacksBed  finding.ID = "mix.fault.packs_bed"
	FaultPackSize  finding.ID = "mix.fault.pack_size"
	FaultRecipe    finding.ID = "mix.fault.recipe"    // not in the library
	FaultNoRecipe  finding.ID = "mix.fault.no_recipe" // a name of practice that tells no figures to fill a bed with
	FaultNoTarget  finding.ID = "mix.fault.no_target"
	FaultLeastMost finding.ID = "mix.fault.least_most"
	FaultNoAmounts finding.ID = "mix.fault.no_amounts"
	FaultAmount    finding.ID = "mix.fault.amount" // not one amount
	FaultDensity   finding.ID = "mix.fault.density"
	FaultNoMend    finding.ID = "mix.fault.no_mend"
	FaultThin      finding.ID = "mix.fault.thin"          // water that cannot thin a bed so far
	FaultWanted    finding.ID = "plan.fault.amiss_wanted" // what the bed should read
	FaultSearch    finding.ID = "mix.fault.search"
)

// What is right in place of the names that FaultNoRecipe is about.
const (
	rightNursery    finding.ID = "right.mix.fault.recipe_nursery"
	rightSeedling   finding.ID = "right.mix.fault.recipe_seedling"
	rightStrawberry finding.ID = "right.mix.fault.recipe_strawberry"
	rightSpoons     finding.ID = "right.mix.fault.recipe_spoons"
	rightUptake     finding.ID = "right.mix.fault.recipe_uptake"
)

// wrong gives one fault of a key of a material.
func (m Material) wrong(id finding.ID, key string, args finding.Args) finding.Faults {
	if args == nil {
		args = finding.Args{}
	}
	args["Product"] = m.Name
	return finding.Faults{{ID: id, Path: m.Path.Key(key), Args: args}}
}
