"""Firmwrap's calculation: rope, drum, boom, reeving and the plan that winds a hoist rope firm.

Everything inside is SI: m, kg, N, s, rad.  Shares are fractions.  A load "in tonnes" is a mass.

Symbols used in the docstrings of this package:

    D_b   groove-root diameter of the drum [m]          d     rope diameter [m]
    p     groove pitch [m]                              z_i   wraps layer i holds
    rho   rise ratio: a layer lies rho*d higher         l_i   length of one wrap of layer i [m]
    L     boom length [m]                               r     radius from the slew axis [m]
    x_p   boom pivot forward of the slew axis [m]       z_p   boom pivot above ground [m]
    z_w   winch above ground [m]                        a     rope path beyond the boom length [m]
    H     head-sheave axis above ground [m]             h     hook above ground [m]
    b     hook block, hook to sheave axis [m]           s     length of one fall [m]
    n     falls (US: parts of line)                     R_s   sheave radius [m]
    P     rope from drum to head [m]                    w     rope round the sheaves between the falls [m]
    F     rated line pull [N]                           e     efficiency of one sheave
    f     e hauling, 1/e paying out, 1 standing         k     sheaves from fall 1 to the drum
    W_b   weight of load, slings and block [N]          m_r   rope mass per length [kg/m]
    q     least load as a share of F for each fall      g     9.80665 m/s2
    mu    friction of rope on rope                      N     wraps relaxed by setting the load down
"""

STANDARD_GRAVITY = 9.80665  # m/s2, exact by definition (CGPM 1901)
