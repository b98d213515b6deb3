/** A batch of the demonstration, as its cook would log it. */
interface DemoBatch {
  readonly daysAgo: number;
  readonly member: string;
  readonly line: string;
}

const OPTIONS = ['fat', 'tallow', 'method', 'cut', 'minutes', 'weighed-as', 'taste'] as const;

/** An invented community's log: ten weeks of nobody's cooking. Days ago, who, and what was typed for each option. */
const rows = `
69 | Mika | 6 lb 4 oz | 3 lb 2.5 oz | pressure | ground | 105 | disc | clean
68 | Calder | 2 lb 4 oz | 14 oz | smoker | ground | 180 | re-melted | smoky beefy
68 | Wren | 3 lb 8 oz | 11 oz | open-pot | cubed | 300 | re-melted | clean
68 | Orla | 3 lb 4 oz | 1 lb 4.5 oz | open-pot | minced | 120 | re-melted | clean
67 | Odile | 1.8 kg | 845 g | slow-cooker | ground | 360 | disc | clean beefy
67 | Hollis | 4 lb 8 oz | 1 lb 1.5 oz | oven | cubed | 180 | re-melted | beefy
66 | Marlow | 4 lb 8 oz | 1 lb 0.5 oz | open-pot | cubed | 150 | disc | clean
65 | Dov | 5 lb 8 oz | 2 lb 11 oz | open-pot | ground | 240 | re-melted | clean
64 | Bram | 7 lb 8 oz | 4 lb 3 oz | pressure | ground | 125 | disc | clean
63 | Mika | 4 lb 4 oz | 1 lb 5.5 oz | pressure | cubed | 140 | re-melted | clean
62 | Marlow | 5 lb | 2 lb 7 oz | open-pot | ground | 180 | re-melted | clean
60 | Tansy | 3 lb 8 oz | 1 lb 8 oz | open-pot | ground | 180 | disc | clean
59 | Odile | 1.8 kg | 305 g | slow-cooker | cubed | 480 | re-melted | clean beefy
58 | Perrin | 4 lb | 1 lb 9 oz | open-pot | minced | 240 | re-melted | clean gritty
58 | Ingrith | 2250 g | 1170 g | stovetop-dry | ground | 210 | re-melted | beefy fried
58 | Hollis | 3 lb | 1 lb 4.5 oz | oven | ground | 300 | re-melted | beefy
57 | Sefa | 1850 g | 835 g | pressure | minced | 125 | disc | clean
57 | Ingrith | 3450 g | 1750 g | stovetop-dry | ground | 210 | re-melted | beefy fried
55 | Calder | 2 lb 12 oz | 1 lb 2.5 oz | smoker | ground | 300 | re-melted | smoky beefy
54 | Marlow | 5 lb 12 oz | 1 lb 7 oz | open-pot | cubed | 180 | re-melted | clean
54 | Tansy | 7 lb | 1 lb 4 oz | open-pot | cubed | 180 | re-melted | clean
54 | Hollis | 4 lb 8 oz | 13.5 oz | oven | cubed | 180 | re-melted | beefy
51 | Marlow | 4 lb 12 oz | 2 lb 8 oz | open-pot | ground | 180 | disc | clean
50 | Hollis | 4 lb 12 oz | 2 lb | oven | ground | 120 | re-melted | beefy
49 | Tansy | 3 lb 4 oz | 1 lb 7.5 oz | open-pot | ground | 180 | re-melted | clean
49 | Tansy | 5 lb | 2 lb 3 oz | open-pot | minced | 240 | re-melted | clean
49 | Juno | 1150 g | 505 g | slow-cooker | ground | 420 | re-melted | clean beefy
48 | Perrin | 2 lb 12 oz | 15.5 oz | oven | ground | 180 | re-melted | beefy
47 | Marlow | 5 lb 12 oz | 3 lb 4.5 oz | pressure | ground | 180 | re-melted | clean
47 | Bram | 5 lb | 2 lb 7 oz | pressure | ground | 105 | disc | clean
47 | Odile | 2.8 kg | 565 g | slow-cooker | cubed | 240 | disc | clean beefy
47 | Dov | 4 lb | 1 lb 13.5 oz | open-pot | ground | 240 | disc | clean
45 | Marlow | 6 lb | 1 lb 6 oz | pressure | cubed | 70 | disc | clean
45 | Odile | 2850 g | 600 g | slow-cooker | cubed | 360 | disc | clean beefy
45 | Sefa | 3.9 kg | 2150 g | open-pot | ground | 240 | re-melted | clean
45 | Sefa | 2450 g | 1255 g | pressure | minced | 140 | disc | clean
44 | Tansy | 3 lb | 1 lb 6 oz | open-pot | ground | 300 | re-melted | clean
39 | Perrin | 4 lb 12 oz | 13 oz | oven | cubed | 210 | disc | beefy
36 | Tansy | 4 lb 12 oz | 1 lb 15 oz | open-pot | ground | 240 | re-melted | clean
36 | Juno | 2150 g | 900 g | slow-cooker | minced | 360 | re-melted | clean beefy
36 | Orla | 2 lb | 13 oz | open-pot | ground | 210 | re-melted | clean gritty
35 | Tansy | 6 lb | 2 lb 14 oz | open-pot | ground | 150 | disc | clean
35 | Bram | 5 lb 8 oz | 2 lb 13.5 oz | pressure | ground | 105 | disc | clean
35 | Ingrith | 1550 g | 350 g | open-pot | cubed | 180 | disc | clean
34 | Bram | 4 lb 8 oz | 1 lb 5.5 oz | pressure | cubed | 105 | re-melted | clean
33 | Tansy | 3 lb 12 oz | 1 lb 8.5 oz | open-pot | minced | 150 | re-melted | clean
33 | Bram | 5 lb | 2 lb 5 oz | pressure | ground | 70 | disc | clean
33 | Odile | 2.8 kg | 1165 g | slow-cooker | minced | 300 | re-melted | clean beefy
33 | Sefa | 2050 g | 1085 g | pressure | ground | 105 | re-melted | clean
32 | Wren | 3 lb | 1 lb 2.5 oz | open-pot | minced | 180 | re-melted | clean
31 | Tansy | 4 lb | 11 oz | open-pot | cubed | 150 | re-melted | clean
31 | Bram | 15 lb | 2 lb 12 oz | pressure | ground | 110 | re-melted | clean
30 | Tansy | 6 lb 8 oz | 2 lb 14.5 oz | open-pot | ground | 210 | re-melted | clean
28 | Bram | 5 lb 12 oz | 1 lb 7 oz | pressure | cubed | 90 | re-melted | clean
27 | Marlow | 2 lb 12 oz | 1 lb 1 oz | open-pot | minced | 180 | re-melted | clean
27 | Bram | 4 lb | 1 lb 14 oz | pressure | ground | 180 | re-melted | clean
27 | Odile | 2.1 kg | 885 g | slow-cooker | ground | 360 | re-melted | clean beefy
26 | Marlow | 4 lb 12 oz | 2 lb 6 oz | open-pot | ground | 150 | disc | clean
26 | Perrin | 3 lb 12 oz | 7.5 oz | oven | cubed | 300 | re-melted | beefy
26 | Sefa | 2.7 kg | 1520 g | pressure | ground | 105 | re-melted | clean
26 | Juno | 2.4 kg | 330 g | slow-cooker | cubed | 420 | disc | clean beefy
25 | Sefa | 2550 g | 1175 g | pressure | minced | 105 | re-melted | clean
24 | Bram | 8 lb 8 oz | 2 lb 3 oz | pressure | cubed | 105 | re-melted | clean
24 | Juno | 1.8 kg | 795 g | slow-cooker | ground | 360 | disc | clean beefy
23 | Marlow | 2 lb | 15 oz | open-pot | ground | 180 | disc | clean
22 | Calder | 2 lb 8 oz | 1 lb | smoker | ground | 240 | re-melted | smoky beefy
21 | Marlow | 2 lb 8 oz | 1 lb 2.5 oz | open-pot | ground | 180 | disc | clean
21 | Wren | 3 lb 12 oz | 1 lb 10.5 oz | open-pot | ground | 300 | re-melted | clean
20 | Perrin | 4 lb 12 oz | 2 lb 1.5 oz | oven | ground | 180 | re-melted | beefy
17 | Hollis | 3 lb | 2 lb 3 oz | oven | ground | 180 | disc | beefy
16 | Wren | 3 lb 12 oz | 10.5 oz | open-pot | cubed | 150 | disc | clean
15 | Marlow | 4 lb | 1 lb 11 oz | open-pot | minced | 180 | re-melted | clean
14 | Ingrith | 0.9 kg | 155 g | stovetop-dry | cubed | 210 | disc | beefy fried
12 | Tansy | 8 lb | 3 lb 7 oz | open-pot | minced | 150 | re-melted | clean
12 | Mika | 5 lb 8 oz | 1 lb 14 oz | pressure | cubed | 140 | re-melted | clean
10 | Calder | 2 lb 12 oz | 1 lb 2 oz | smoker | ground | 300 | re-melted | smoky beefy
9 | Bram | 7 lb | 1 lb 11.5 oz | pressure | cubed | 105 | disc | clean
9 | Perrin | 3 lb 4 oz | 1 lb 4 oz | oven | ground | 210 | re-melted | beefy
9 | Sefa | 2.1 kg | 630 g | pressure | cubed | 140 | re-melted | clean
8 | Marlow | 4 lb 12 oz | 2 lb 3.5 oz | open-pot | ground | 180 | re-melted | clean
8 | Marlow | 5 lb 4 oz | 2 lb 10.5 oz | open-pot | ground | 300 | disc | clean
8 | Orla | 5 lb 4 oz | 2 lb 7.5 oz | stovetop-dry | ground | 240 | re-melted | beefy fried
7 | Marlow | 4 lb 4 oz | 1 lb 14.5 oz | open-pot | minced | 300 | re-melted | clean gritty
7 | Bram | 5 lb 8 oz | 2 lb 13.5 oz | pressure | ground | 140 | re-melted | clean
7 | Juno | 1550 g | 250 g | slow-cooker | cubed | 360 | re-melted | clean beefy
6 | Ingrith | 1750 g | 740 g | stovetop-dry | ground | 210 | re-melted | beefy fried
5 | Tansy | 3 lb 12 oz | 1 lb 8 oz | open-pot | ground | 180 | disc | clean
4 | Perrin | 6 lb 8 oz | 2 lb 14 oz | oven | ground | 300 | re-melted | beefy gritty
4 | Calder | 4 lb | 1 lb 10 oz | smoker | minced | 300 | re-melted | smoky beefy
3 | Odile | 1.9 kg | 695 g | slow-cooker | ground | 300 | re-melted | clean beefy
3 | Dov | 2 lb | 2.5 oz | open-pot | ground | 120 | disc | clean
1 | Ingrith | 2.9 kg | 1590 g | stovetop-dry | ground | 240 | re-melted | beefy fried
1 | Yara | 3 lb 4 oz | 1 lb 7 oz | open-pot | ground | 165 | re-melted | clean
0 | Odile | 2.3 kg | 1030 g | slow-cooker | ground | 480 | disc | clean beefy
`;

export const demoBatches: readonly DemoBatch[] = rows
  .trim()
  .split('\n')
  .map((row) => {
    const [daysAgo, member = '', ...typed] = row.split(' | ');
    const given = OPTIONS.map((name, at) => `${name}:"${typed[at]}"`);
    return { daysAgo: Number(daysAgo), member, line: `/batch log ${given.join(' ')}` };
  });
