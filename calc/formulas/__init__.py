"""Formulas of rope, drum, boom and reeving: floats in SI in, floats out, the standard library only.

Symbols of the formulas, and the names they have as parameters ("-": none):

    D_b      groove_root_diameter                 diameter of the drum at the groove root [m]
    d        rope_diameter, diameter              diameter of the rope, nominal [m]
    rho      rise_ratio                           a layer lies rho*d higher than the one below [-]
    p        groove_pitch                         distance of two wraps side by side [m]
    z_i      wraps_odd_layers, wraps_even_layers  wraps layer i holds [-]
    i        layer                                layer, counted from 1 at the barrel [-]
    -        rated_layer                          layer that the rated line pull and line speed hold for [-]
    -        drum_layers                          the layers of a drum, from the barrel outward
    -        surface                              parallel-grooved, helical-grooved or smooth
    L_rope   rope_length                          length of the rope [m]
    -        rope_on_drum                         rope on the drum, dead wraps included [m]
    -        wrap                                 wraps in the outermost layer begun, a real number [-]
    z_d      dead_wraps                           wraps that always stay on the drum [-]
    L_u      usable_rope                          rope without the dead wraps [m]
    -        freeboard                            flange above the outermost layer [m]
    F        rated_line_pull, line_pull           rated line pull [N]
    v        rated_line_speed                     rated line speed [m/s]
    -        construction                         construction of the rope, by name
    R        grade                                rope grade [N/m2]
    F_min    breaking_force                       minimum breaking force of the rope [N]
    d_ref    reference                            diameter of the rope right after running in [m]
    d_m      measured                             diameter of the rope as measured, mean of two readings [m]
    Q        decrease                             decrease of the diameter as a share of the nominal one [-]
    D        across                               drum or sheave, middle of rope to middle of rope [m]
    -        flange_diameter                      diameter of the flanges of the drum [m]
    A        rope_depth                           from the barrel to the outside of the rope on it [m]
    B        drum_width                           width between the flanges of the drum [m]
    -        half_width                           half of the width between the flanges of the drum [m]
    -        distance                             from the drum to the first sheave [m]
    -        cut                                  rope cut off at the drum end [m]
    l        wrap_length                          length of one wrap of a layer [m]
    -        shift                                share of a turn by which rope comes to lie elsewhere [-]
    L        boom_length                          length of the boom, pivot to head-sheave axis [m]
    j        jib_length                           length of a jib, boom head to jib-head sheave [m]
    delta    offset                               fixed jib below the line of the boom [rad]
    r        radius                               radius from the slew axis [m]
    theta    boom_angle                           boom angle to the horizontal [rad]
    x_p      pivot_forward                        boom pivot forward of the slew axis [m]
    z_p      pivot_height                         boom pivot above ground [m]
    z_w      winch_height                         winch above ground [m]
    H        head_height, height                  head-sheave axis above ground [m]
    h_low    low_hook                             hook above ground with the load just clear [m]
    b        block_height                         hook block, hook to sheave axis [m]
    c        deflection_share                     growth of the radius at full use of the capacity, share of L [-]
    dr       growth                               growth of the radius under load [m]
    -        growth_at_full_use                   growth of the radius at full use of the capacity [m]
    -        capacity_use                         gross load as a share of the rated capacity [-]
    n        falls                                falls (US: parts of line) [-]
    R_s      sheave_radius                        sheave radius [m]
    P        drum_to_head                         rope from drum to head [m]
    s        fall_length                          length of one fall [m]
    w        between_falls                        rope round the sheaves between the falls [m]
    -        rows                                 capacity chart: radius [m] and capacity [kg], by growing radius
    -        longer                               rows of the next longer listed boom
    -        shorter                              rows of the next shorter listed boom
    -        telescoping_load                     load listed for telescoping [kg]
    W        gross_load                           everything below the boom head, rope in the falls included [kg]
    W_b      block_weight                         weight of load, slings and hook block [N]
    m_r*g    rope_weight                          weight of the rope per length [N/m]
    e        efficiency                           efficiency of one sheave [-]
    f        factor                               e hauling, 1/e paying out, 1 standing [-]
    k        sheaves_to_drum                      sheaves from fall 1 to the drum [-]
    -        direction                            hauling, standing or paying out
    T_lead   lead_line                            force in the lead line, at the head [N]
    T_drum   tension                              force with which the rope lies on the drum [N]
    T_laid   tension_laid                         the same when the rope was laid [N]
    T_empty  tension_empty                        the same under the empty hook block [N]
    mu       friction                             friction of rope on rope [-]
    -        place                                rope from the dead end to where a stack is parted [m]
    -        other                                a second stack, of which nobody knows whether it lies there
    -        wraps                                wraps counted from the loose end, a real number [-]
    -        drag                                 pull that turns the free drum [N]
    q        minimum_share                        least load as a share of F for each fall [-]
    -        length                               a length of rope [m]
    E        modulus                              modulus of the rope, tension over stretch [N/m2]
    A_m      area                                 metal area of the rope [m2]
    -        weight_across                        weight of the rope across a sagging line, per length [N/m]
    -        stack                                rope on the drum with the tension it was laid with
    -        first                                tension at the inner end of rope wound in [N]
    -        last                                 tension at its outer end [N]
    -        cause                                what laid the rope
    -        limit                                tension below which rope counts as loose [N]
    -        start                                place on the drum, as rope from the dead end [m]
    -        end                                  the outer end of a stretch, likewise [m]

Symbols of results and constants:

    D_i      diameter of layer i, middle of the rope to middle of the rope [m]
    l_i      length of one wrap of layer i [m]
    h        hook above ground [m]
    a        rope path beyond the boom length [m]
    N        wraps relaxed by setting the load down [-]
    m_min    least suspended mass by the load rule [kg]
    g        9.80665 m/s2
"""

STANDARD_GRAVITY = 9.80665  # m/s2, exact by definition (CGPM 1901)
ROUNDING = 1e-9  # relative slack in comparisons, so that a limit met exactly is met
LENGTH_SLACK = 1e-6  # m; sums of floats against a length as written
GRAIN = 1e-9  # m; what lies nearer than this lies at the same place: sums of floats are no finer
