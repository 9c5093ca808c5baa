"""Texts that every page shares."""

WORDS = {
    # navigation
    "Today": "Hoy",
    "Street": "Calle",
    "Streets": "Calles",
    "Lots": "Lotes",
    "Inspections": "Inspecciones",
    "Look-ahead": "Programa",
    "Load": "Carga",
    "Season": "Temporada",
    "Plans": "Planos",
    "Catalogue": "Catálogo",
    "Money": "Dinero",
    "People": "Personas",
    "Import": "Importar",
    "Starts": "Arranques",
    "Record": "Registro",
    "Settings": "Ajustes",
    "Menu": "Menú",
    "Main": "Principal",
    "Skip to the page": "Ir al contenido",
    "Sign in": "Entrar",
    "Sign out": "Salir",
    "Language": "Idioma",
    "English": "English",
    "Español": "Español",
    "Keys": "Teclas",
    "Close": "Cerrar",
    "Keyboard": "Teclado",
    "to the search field": "al campo de búsqueda",
    "next row, row before": "fila siguiente, fila anterior",
    "open the row": "abrir la fila",
    "this help": "esta ayuda",
    # shared words
    "Owner": "Dueño",
    "Office": "Oficina",
    "Lead": "Encargado",
    "Plumber": "Plomero",
    "Save": "Guardar",
    "Add": "Añadir",
    "Remove": "Quitar",
    "Change": "Cambiar",
    "Cancel": "Cancelar",
    "Show": "Mostrar",
    "Search": "Buscar",
    "All": "Todos",
    "Name": "Nombre",
    "Lot": "Lote",
    "Plan": "Plano",
    "Phase": "Fase",
    "Builder": "Constructor",
    "Subdivision": "Fraccionamiento",
    "Address": "Dirección",
    "Crew": "Cuadrilla",
    "Date": "Fecha",
    "Reason": "Razón",
    "Note": "Nota",
    "Photo": "Foto",
    "State": "Estado",
    "Who": "Quién",
    "When": "Cuándo",
    "What": "Qué",
    "Yes": "Sí",
    "No": "No",
    "Saved.": "Guardado.",
    "How to read a house": "Cómo leer una casa",
    "Notices": "Avisos",
    "Actions": "Acciones",
    "Back": "Atrás",
    "Pages": "Páginas",
    "Newer": "Más nuevos",
    "Older": "Más antiguos",
    # errors
    "This page is not here": "Esta página no está aquí",
    "Nothing is at this address, or it is not yours to see.": (
        "No hay nada en esta dirección, o no le toca verlo."
    ),
    "To Today": "Ir a Hoy",
    "This is not for your role": "Esto no es para su puesto",
    "Your role may not open this page. Ask the office.": (
        "Su puesto no puede abrir esta página. Pregunte a la oficina."
    ),
    "The form was too old": "El formulario era muy viejo",
    "Go back, load the page again and send it once more.": (
        "Regrese, cargue la página otra vez y vuelva a enviar."
    ),
    "Too many tries": "Demasiados intentos",
    "Wait a quarter of an hour, or ask the owner for a new password.": (
        "Espere un cuarto de hora, o pida al dueño una contraseña nueva."
    ),
    # sign-in
    "Sign-in name": "Nombre de usuario",
    "Password": "Contraseña",
    "Too many wrong passwords": "Demasiadas contraseñas equivocadas",
    "Wait {minutes} minutes and try again. Only this name from this address waits; everybody else can sign in.": (  # noqa: E501
        "Espere {minutes} minutos e intente de nuevo. Solo espera este nombre desde "
        "esta dirección; los demás pueden entrar."
    ),
    "Forgotten? The owner sets a new password under People.": (
        "¿La olvidó? El dueño pone una contraseña nueva en Personas."
    ),
    "To the sign-in": "A la entrada",
    "Name and password do not fit. Try again.": (
        "El nombre y la contraseña no coinciden. Intente otra vez."
    ),
    "Crews sign in by the QR code that the office gives them.": (
        "Las cuadrillas entran con el código QR que da la oficina."
    ),
    "Please check the fields marked below.": "Revise los campos marcados abajo.",
}
