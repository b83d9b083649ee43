"""Published instances of two-dimensional cutting with straight cuts through whole pieces, and what is known of them.

Sizes are wide x tall. Sources beside each; what is from memory is marked so.
"""

import struct


def rows(text):
    return [tuple(map(int, row.split())) for row in text.split(",")]


# One sheet, items with their numbers: as much area as possible, nothing turned.
# Sizes: ESICUP's collection of data sets (github.com/ESICUP/datasets, there in 2d_rectangular/morabito_pureza/classic).
# OF1, OF2: J. F. Oliveira, J. S. Ferreira, European Journal of Operational Research 44, 1990; WANG1 to WANG3: P. Y. Wang,
# Operations Research 31, 1983; CU1: D. Fayard, M. Hifi, V. Zissimopoulos, Journal of the Operational Research Society 49,
# 1998. Best values, all proven: from memory, but WANG1's is the whole sheet; WANG2's is only the best that was met with here.
WANG = rows("31 43 1,30 41 1,29 39 1,28 38 1,27 37 1,26 36 1,25 35 2,24 34 2,33 23 3,22 32 2,31 21 3,29 18 3,17 27 2,"
            "16 25 4,15 24 2,15 24 1,23 14 4,21 12 3,19 11 4,9 17 1")
ONE_SHEET = {
    "OF1": ((70, 40), rows("29 5 1,9 39 4,55 9 1,31 15 1,11 16 2,23 21 3,29 14 4,16 19 3,9 36 2,22 4 2"), 2737),
    "OF2": ((70, 40), rows("22 18 2,40 10 1,13 27 3,23 18 2,29 8 4,16 4 1,47 9 1,19 19 4,13 16 2,36 16 4"), 2690),
    "WANG1": ((33, 69), WANG, 2277),
    "WANG2": ((39, 70), WANG, 2694),
    "WANG3": ((40, 70), WANG, 2721),
    "CU1": ((100, 125), rows("23 44 6,20 56 9,24 41 6,38 57 3,23 57 4,58 49 1,51 79 1,43 35 3,39 68 2,21 65 2,24 80 3,"
                             "50 61 3,45 59 2,42 69 1,54 68 1,29 75 3,24 39 7,22 42 2,56 53 1,24 49 1,20 66 5,45 53 4,"
                             "23 50 8,34 75 1,38 28 3"), 12330),
}

# One sheet, each item as often as one likes: J. E. Beasley, Journal of the Operational Research Society 36, 1985 (sizes:
# OR-Library's gcut1 to gcut5 and gcut9, from github.com/Oscar-Oliveira/OR-Datasets). Best areas, not turned and turned: G. Cintra,
# "Unconstrained two-dimensional guillotine cutting", www.ime.usp.br/~glauber/gcut, by dynamic programming, exact.
GCUT = {
    "gcut1": (250, rows("167 184,114 118,167 152,83 140,70 86,143 166,120 160,66 148,87 141,69 165"), 56460, 58136),
    "gcut2": (250, rows("120 133,135 186,86 75,103 73,66 85,135 97,91 175,131 176,71 176,153 72,87 148,168 107,118 90,"
                        "140 109,132 159,152 93,135 68,121 158,68 94,155 76"), 60536, 60611),
    "gcut3": (250, rows("66 80,164 107,64 184,121 86,163 135,85 98,81 102,103 186,152 106,176 139,111 118,69 169,"
                        "146 133,112 112,133 160,63 129,163 152,110 155,96 136,92 142,84 143,119 133,71 71,146 84,93 86,"
                        "89 86,101 146,172 73,73 169,99 99"), 61036, 61626),
    "gcut4": (250, rows("139 103,166 99,88 74,174 139,128 109,175 179,62 82,178 87,121 77,125 97,73 84,69 97,122 159,"
                        "66 69,111 118,165 86,71 83,163 162,67 132,121 152,68 150,138 124,141 105,183 122,171 63,101 64,"
                        "103 95,110 107,184 158,85 97,86 92,127 155,92 147,106 97,177 108,164 150,68 84,62 151,123 134,"
                        "158 178,70 140,173 117,147 136,141 145,84 164,144 141,92 103,156 98,160 111,127 131"),
              61698, 62265),
    "gcut5": (500, rows("198 205,179 155,364 236,272 147,352 145,343 245,132 174,164 250,282 356,342 151"),
              246000, 246000),
    "gcut9": (1000, rows("310 426,673 468,426 463,325 498,555 540,292 455,343 341,362 491,305 688,459 607"),
              971100, 971100),
}

# As many sheets as it takes, each item once: the same as bin packing (S. Martello, D. Vigo, Management Science 44, 1998, take
# cgcut and gcut so). Sizes of cgcut: N. Christofides, C. Whitlock, Operations Research 25, 1977, from the same collection.
CGCUT = {
    "cgcut1": ((15, 10), rows("8 4 2,3 7 1,8 2 3,3 4 5,3 3 2,3 2 2,2 1 1")),
    "cgcut2": ((40, 70), rows("21 22 1,31 13 1,9 35 3,9 24 3,30 7 2,11 13 3,10 14 1,14 8 3,12 8 3,13 7 3")),
    "cgcut3": ((40, 70), rows("31 43 4,30 41 2,29 39 4,28 38 4,27 37 3,26 36 4,25 35 3,24 34 4,33 23 4,22 32 3,31 21 3,"
                              "29 18 3,17 27 2,15 24 3,16 25 4,23 14 4,21 12 3,19 11 4,9 17 1")),
}


def single(value):
    """Rounded to the single precision that the published generator computes with."""
    return struct.unpack("f", struct.pack("f", value))[0]


class Chances:
    def __init__(self, seed):
        self.value = 0
        for _ in range(int(seed) + 1):
            self.next()

    def next(self):
        self.value = (self.value * 7141 + 54773) % 259200
        return single(self.value / 259200)

    def between(self, least, most):
        return int(single((most - least + 1) * self.next())) + least


def class_instance(number, count, which):
    """The 500 instances of two-dimensional bin packing: classes 1 to 6 of J. O. Berkey, P. Y. Wang, Journal of the Operational
    Research Society 38, 1987; 7 to 10 of Martello and Vigo 1998; ten of each size, by the generator that A. Lodi, S. Martello
    and D. Vigo give out with INFORMS Journal on Computing 11, 1999. -> side of the square sheet, sizes."""
    chances = Chances(single(single(count * which * single(31.47)) + 2000))
    if number <= 6:
        side, most = ((10, 10), (30, 10), (40, 35), (100, 35), (100, 100), (300, 100))[number - 1]
        tall_wide = [(chances.between(1, most), chances.between(1, most)) for _ in range(count)]
        return side, [(wide, tall) for tall, wide in tall_wide]
    shares = [single(0.7 if i == number - 7 else 0.1) for i in range(3)]
    items = []
    for _ in range(count):
        chance = chances.next()
        tall, wide = (1, 100), (1, 100)
        if chance < shares[0]:
            wide, tall = (66, 100), (1, 50)
        elif chance < single(shares[0] + shares[1]):
            tall, wide = (66, 100), (1, 50)
        elif chance < single(single(shares[0] + shares[1]) + shares[2]):
            tall, wide = (50, 100), (50, 100)
        else:
            tall, wide = (1, 50), (1, 50)
        height = chances.between(*tall)
        items.append((chances.between(*wide), height))
    return 100, items


SIZES = (20, 40, 60, 80, 100)
# Sheets on average that are known to do where items are not turned and the cuts may be any, by class and number of items: no way
# with straight cuts through whole pieces does with fewer where these are proven, as most are. From memory (results that several
# papers since M. Monaci, P. Toth, INFORMS Journal on Computing 18, 2006, agree on).
KNOWN = {
    1: (7.1, 13.4, 20.0, 27.5, 31.7), 2: (1.0, 1.9, 2.5, 3.1, 3.9), 3: (5.1, 9.4, 13.9, 18.9, 22.3),
    4: (1.0, 1.9, 2.5, 3.1, 3.7), 5: (6.5, 11.9, 18.0, 24.7, 28.1), 6: (1.0, 1.7, 2.1, 3.0, 3.4),
    7: (5.5, 11.1, 15.8, 23.2, 27.1), 8: (5.8, 11.3, 16.1, 22.4, 27.8), 9: (14.3, 27.8, 43.7, 57.7, 69.5),
    10: (4.2, 7.4, 10.0, 12.8, 15.8),
}
