"""What the reference tables do not hold."""

# ruff: noqa: E501 (a sentence stands whole)

WORDS = {
    "no_drain": ("{kind} has no drain of its own.", "{kind} no tiene drenaje propio."),
    "no_appliance": (
        "{kind} is no gas appliance with an input in the reference.",
        "{kind} no es un aparato de gas con consumo en la referencia.",
    ),
    "no_fixture": (
        "{book} lists no fixture {name!r}. It lists: {listed}.",
        "El {book} no incluye el mueble {name!r}. Incluye: {listed}.",
    ),
    "no_dfu": (
        "{book} gives {key} no drainage fixture units.",
        "El {book} no da unidades de drenaje a {key}.",
    ),
    "no_size_carries": (
        "No size in the {book} {part} table carries {units:g} units.",
        "Ninguna medida de la tabla del {book} ({part}) lleva {units:g} unidades.",
    ),
    "part_branch": ("branch", "ramal"),
    "part_building_drain": ("building drain", "drenaje de la casa"),
    "part_stack": ("stack", "bajante"),
    "no_least_slope": (
        "{book} states no least slope for {size} in. pipe.",
        "El {book} no da pendiente mínima para tubo de {size} pulg.",
    ),
    "no_arm_size": (
        "{book} lists no trap arm of {size} in.",
        "El {book} no incluye brazo de trampa de {size} pulg.",
    ),
    "no_closet_arm": (
        "{book} states no closet arm length.",
        "El {book} no da longitud del brazo de inodoro.",
    ),
    "no_larger_vent": (
        "No vent larger than {size} in. is listed.",
        "No hay ventilación mayor de {size} pulg. en la tabla.",
    ),
    "no_vent_of": (
        "No vent of {size:g} in. or more is listed.",
        "No hay ventilación de {size:g} pulg. o más en la tabla.",
    ),
    "no_vent_row": (
        "The reference has no {book} vent table row of {size} in.",
        "La referencia no tiene renglón de ventilación del {book} de {size} pulg.",
    ),
    "no_upc_vent": (
        "No vent of UPC Table 703.2 carries {units:g} units {length:g} ft.",
        "Ninguna ventilación de la tabla 703.2 del UPC lleva {units:g} unidades a {length:g} pies.",
    ),
    "no_wsfu": (
        "{book} gives {key} no water supply fixture units.",
        "El {book} no da unidades de agua a {key}.",
    ),
    "curve_ends": (
        "The {book} demand curve ends at {units:g} units.",
        "La curva de demanda del {book} termina en {units:g} unidades.",
    ),
    "no_bore": (
        "No bore of {material} {size} in. in the reference.",
        "La referencia no tiene el diámetro interior de {material} de {size} pulg.",
    ),
    "no_bores": (
        "No bores of {material} in the reference.",
        "La referencia no tiene diámetros interiores de {material}.",
    ),
    "no_velocity": (
        "No velocity limit of {material} in the reference.",
        "La referencia no tiene velocidad máxima de {material}.",
    ),
    "no_rule": (
        "No rule of {book} for {item}, {quantity}, in the reference.",
        "La referencia no tiene regla del {book} para {item}, {quantity}.",
    ),
    "no_meter_flow": (
        "The meter chart holds no {size} in. meter at {gpm:g} gpm.",
        "La gráfica de medidores no tiene uno de {size} pulg. a {gpm:g} gpm.",
    ),
    "no_supply_table": (
        "No supply sizing table of {book} in the reference.",
        "La referencia no tiene tabla de agua del {book}.",
    ),
    "below_30_psi": (
        "{psi:g} psi is below the {book} supply table, which starts at 30 psi.",
        "{psi:g} psi está por debajo de la tabla de agua del {book}, que empieza en 30 psi.",
    ),
    "supply_ends": (
        "The {book} supply table ends at {feet:g} ft of developed length.",
        "La tabla de agua del {book} termina en {feet:g} pies de longitud desarrollada.",
    ),
    "no_supply_column": (
        "No column of the {book} supply table carries {units:g} units.",
        "Ninguna columna de la tabla de agua del {book} lleva {units:g} unidades.",
    ),
    "no_main_on": (
        "The {book} table has no {main} in. main on {meter} in.",
        "La tabla del {book} no tiene tubo principal de {main} pulg. con {meter} pulg.",
    ),
    "no_main": (
        "The {book} table has no {main} in. main.",
        "La tabla del {book} no tiene tubo principal de {main} pulg.",
    ),
    "no_pipe_carries": (
        "No pipe carries the {units:g} units of {key}.",
        "Ningún tubo lleva las {units:g} unidades de {key}.",
    ),
    "no_manifold": (
        "No manifold listed feeds the {gpm:.1f} gpm of {key}.",
        "Ningún distribuidor de la tabla alimenta los {gpm:.1f} gpm de {key}.",
    ),
    "no_gas_table": (
        "Table {name} is not in the reference. It holds: {held}",
        "La tabla {name} no está en la referencia. Esta tiene: {held}",
    ),
    "no_gas_table_for": (
        "The reference holds no table for {material}.",
        "La referencia no tiene tabla para {material}.",
    ),
    "no_gas_table_2_psi": (
        "The reference holds no table at 2 psi for {material}.",
        "La referencia no tiene tabla a 2 psi para {material}.",
    ),
    "gas_size_not_listed": (
        "Table {table} lists no {size} pipe.",
        "La tabla {table} no incluye tubo de {size}.",
    ),
    "gas_table_ends": (
        "Table {table} ends at {most:g} ft; {length:g} ft is beyond it.",
        "La tabla {table} termina en {most:g} pies; {length:g} pies la pasan.",
    ),
    "gas_no_cell": (
        "Table {table} has no {size} at {length:g} ft.",
        "La tabla {table} no tiene {size} a {length:g} pies.",
    ),
    "gas_no_size": (
        "No size of table {table} carries {load:g} {unit} at {length:g} ft.",
        "Ninguna medida de la tabla {table} lleva {load:g} {unit} a {length:g} pies.",
    ),
    "no_gravity": (
        "No multiplier for specific gravity {gravity:g} in IFGC A.2.4.",
        "El IFGC A.2.4 no tiene factor para densidad {gravity:g}.",
    ),
    "condensate_ends": (
        "The condensate table ends at {tons:g} tons.",
        "La tabla de condensado termina en {tons:g} toneladas.",
    ),
    "no_first_hour": (
        "UPC 501.1 lists no first-hour rating for {baths:g} baths.",
        "El UPC 501.1 no da primera hora para {baths:g} baños.",
    ),
    "no_volume": (
        "No volume of {material} {size} in. in the reference.",
        "La referencia no tiene el volumen de {material} de {size} pulg.",
    ),
    "no_support": (
        "{book} lists no support spacing of {material} {size} in.",
        "El {book} no da separación de soportes de {material} de {size} pulg.",
    ),
    "no_od": (
        "No outside diameter of {material} {size} in. in the tables.",
        "Las tablas no tienen el diámetro exterior de {material} de {size} pulg.",
    ),
    "not_a_number": (
        "{label} holds {value!r}, not a number",
        "{label} tiene {value!r}, que no es un número",
    ),
    "no_row": (
        "The reference tables hold no {book} row for {what}.",
        "Las tablas de referencia no tienen renglón del {book} para {what}.",
    ),
}
