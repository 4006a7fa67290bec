"""Every plan computed a second time, in another way, from the plan's own `inputs` alone.

Basis: the formulas and assumptions page, read as mechanics and not as formulas.  Rope is laid wrap by wrap on the drum;
boom angle and boom length move in small steps; the hook hangs where the rope that is out lets it hang; forces are
balanced sheave by sheave with the weight of the rope along its path; the boom bends under the load until chart and
radius agree; what is not known is found by root finding or by closing in on a border.  Nothing of the computation
imports `calc`; only where plans are made to compare with do `plans`, `jumps` and the tests.

What hangs where
    drum_wraps   the wraps, one by one, and the tension each was laid with
    forces       one sheave, one fall after the other
    charts       rated capacity and radius once the boom has bent under the load
    rig          boom, hook and rope of one plan at any boom length, angle and hook height
    loads        loads made up from a yard: base, stack, how high the slings hang
    lift         one load on one rig

What a plan has to find
    start        rope that must stay, start and hanging radius, stop heights, from where rope counts as firm
    reach        where luffing out ends
    landing      what stays firm when the load is landed
    passes       from a landed load to the next pass with longer slings
    ways         whole plans tried again, to compare choices with
    beds         the rope a heavy lift bears on
    count        what the count of the drum says of the rope length
    readings     what the load indicator may read
    times        how long a move takes
    limits       every limit, at every step of every move
    walk         one move in small steps

Comparing
    compared     one number computed twice, and how far the two may lie apart
    context      one plan to compare
    at_start, of_passes, of_load, of_choice
                 its numbers before the start, along the moves, of the load; its choices
    agreement    all of them

    machines     plausible machines from a seed, written as data files, metric or US
    rewritten    the same machine in the other units, or in another order
    plans        plans to compare
    jumps        where the numbers of a plan jump while the rope grows
    __main__     the long run, `make long`
"""
