package chem

// Species names one dissolved ion, molecule or pair.
type Species int

// The species of the model. Free ones carry one component and protons, pairs
// one cation and one ligand.
const (
	FreeH Species = iota
	FreeOH
	FreeCa
	FreeMg
	FreeNa
	FreeK
	FreeNH4
	FreeFe
	FreeNO3
	FreeCl
	FreeSO4
	FreeHSO4
	FreeCO2
	FreeHCO3
	FreeCO3
	FreeH3PO4
	FreeH2PO4
	FreeHPO4
	FreePO4
	FreeNH3
	FreeH3BO3
	FreeH2BO3
	FreeH4SiO4
	FreeH3SiO4
	FreeF
	FreeHF
	FreeH3Citrate
	FreeH2Citrate
	FreeHCitrate
	FreeCitrate
	PairCaOH
	PairCaSO4
	PairCaHCO3
	PairCaCO3
	PairCaH2PO4
	PairCaHPO4
	PairCaPO4
	PairCaF
	PairCaCitrate
	PairCaHCitrate
	PairCaH2Citrate
	PairMgOH
	PairMgSO4
	PairMgHCO3
	PairMgCO3
	PairMgH2PO4
	PairMgHPO4
	PairMgPO4
	PairMgF
	PairMgCitrate
	PairMgHCitrate
	PairMgH2Citrate
	PairNaSO4
	PairNaHCO3
	PairNaHPO4
	PairNaCitrate
	PairNaHCitrate
	PairKSO4
	PairKHPO4
	PairKCitrate
	PairNH4SO4
	PairFeOH
	PairFeSO4
	PairFeHCO3
	PairFeCO3
	PairFeH2PO4
	PairFeHPO4
	PairFeF
	SpeciesCount // how many there are
)

// String gives the formula, charge written with signs: "CaHCO3+".
func (p Species) String() string {
	if p < 0 || p >= SpeciesCount {
		return ""
	}
	return rows[p].name
}

// Charge gives the charge in units of the proton's.
func (p Species) Charge() int {
	if p < 0 || p >= SpeciesCount {
		return 0
	}
	return int(rows[p].charge)
}
