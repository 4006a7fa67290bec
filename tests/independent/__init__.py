"""Every plan computed a second time, in another way, from the plan's own `inputs` alone.

Basis: the formulas and assumptions page, read as mechanics and not as formulas.  Rope is laid wrap by wrap on the drum;
boom angle and boom length move in small steps; the hook hangs where the rope that is out lets it hang; forces are
balanced sheave by sheave with the weight of the rope along its path; the boom bends under the load until chart and
radius agree; what is not known is found by root finding.  Nothing of the computation imports `calc`; only where plans
are made to compare with do `plans`, `jumps` and the tests.

    drum_wraps   the wraps, one by one, and the tension each was laid with
    forces       one sheave, one fall after the other
    charts       rated capacity while the boom bends under the load
    rig          boom, hook and rope of one plan at any boom length, angle and hook height
    walk         one move in small steps
    search       start and end of the luffing, stop heights, least loads: found by root finding
    choice       falls, load, boom length to telescope to, warnings: each choice tried again
    compared     one number computed twice, and how far the two may lie apart
    agreement    every number of a plan against its second computation

    machines     plausible machines from a seed, written as data files, metric or US
    rewritten    the same machine in the other units, or in another order
    plans        plans to compare
    jumps        where the numbers of a plan jump while the rope grows
    __main__     the long run, `make long`
"""
